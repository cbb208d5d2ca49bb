//! From bytes on disk to a file type, with every mistake of form explained.

use std::path::Path;

use larkfield_units::closest;
use ron::error::{Error, SpannedError};
use ron::extensions::Extensions;
use serde::de::DeserializeOwned;

use crate::fault::{FileError, FileErrors};
use crate::locate::{Locator, Position};

/// Largest file that is read. A full polar table is far below it.
pub const LARGEST_FILE_BYTES: u64 = 4 * 1024 * 1024;

/// Deepest nesting of brackets; the deepest file kind needs fewer than ten.
const DEEPEST_NESTING: usize = 40;

/// Reads a file as text.
///
/// # Errors
/// A file that cannot be read, is larger than [`LARGEST_FILE_BYTES`] or is not
/// UTF-8 text.
pub fn load_text(path: &Path) -> Result<String, FileErrors> {
    let name = path.display().to_string();
    let whole = |problem: String, remedy: &str| {
        FileErrors::one(error_at(
            &name,
            Position { line: 1, column: 1 },
            "file".into(),
            problem,
            remedy.into(),
        ))
    };
    let unreadable = |e: std::io::Error| {
        whole(
            format!("it cannot be read ({e})"),
            "check that the path is right and that you may read it",
        )
    };
    let size = std::fs::metadata(path).map_err(unreadable)?.len();
    if size > LARGEST_FILE_BYTES {
        return Err(whole(
            format!("it has {size} bytes"),
            "a file of this kind has at most 4 MiB; check that it is the right one",
        ));
    }
    let bytes = std::fs::read(path).map_err(unreadable)?;
    String::from_utf8(bytes).map_err(|e| {
        let good = e.utf8_error().valid_up_to();
        let before = e.as_bytes().get(..good).unwrap_or(&[]);
        let line = before.iter().filter(|&&b| b == b'\n').count() + 1;
        let start = before
            .iter()
            .rposition(|&b| b == b'\n')
            .map_or(0, |i| i + 1);
        let column = String::from_utf8_lossy(before.get(start..).unwrap_or(&[]))
            .chars()
            .count()
            + 1;
        FileErrors::one(error_at(
            &name,
            Position { line, column },
            "file".into(),
            "it is not UTF-8 text".into(),
            "save it as plain text in UTF-8 from a text editor".into(),
        ))
    })
}

/// Reads a file type from RON text. `schema` is the version this program
/// writes and reads; the text has a field of that name at its top.
///
/// # Errors
/// The first mistake of form, with its place and field.
pub fn read_ron<T: DeserializeOwned>(
    text: &str,
    file_name: &str,
    schema: u32,
) -> Result<(T, Locator), FileErrors> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let fail = |position: Position, field: String, problem: String, remedy: String| {
        let field = if field.is_empty() {
            "file".into()
        } else {
            field
        };
        FileErrors::one(error_at(file_name, position, field, problem, remedy))
    };
    let start = Position { line: 1, column: 1 };
    if text.len() as u64 > LARGEST_FILE_BYTES {
        return Err(fail(
            start,
            String::new(),
            format!("it has {} bytes", text.len()),
            "a file of this kind has at most 4 MiB; check that it is the right one".into(),
        ));
    }
    if text.trim().is_empty() {
        return Err(fail(
            start,
            String::new(),
            "it is empty".into(),
            "start from one of the shipped files".into(),
        ));
    }
    if text.contains('\0') {
        return Err(fail(
            start,
            String::new(),
            "it is not text".into(),
            "a file of this kind is plain text; check that it is the right one".into(),
        ));
    }
    if let Some(position) = too_deep(text) {
        return Err(fail(
            position,
            String::new(),
            format!("brackets are nested more than {DEEPEST_NESTING} deep here"),
            "check for brackets that are never closed".into(),
        ));
    }
    let locator = Locator::scan(text);
    if let Some(given) = locator.value_text("schema")
        && given.parse::<u32>() != Ok(schema)
    {
        return Err(fail(
            locator.position_of("schema"),
            "schema".into(),
            format!(
                "`{}` is not a version this program reads",
                first_chars(given)
            ),
            format!(
                "write `schema: {schema}` and compare the file with the description of that version"
            ),
        ));
    }
    let options = ron::Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME)
        .with_recursion_limit(4 * DEEPEST_NESTING);
    match options.from_str::<T>(text) {
        Ok(file) => Ok((file, locator)),
        Err(e) => {
            let (position, field, problem, remedy) = explain(&e, &locator);
            Err(fail(position, field, problem, remedy))
        }
    }
}

fn error_at(
    file: &str,
    position: Position,
    field: String,
    problem: String,
    remedy: String,
) -> FileError {
    FileError {
        file: file.to_owned(),
        line: position.line.max(1),
        column: position.column.max(1),
        field,
        problem,
        remedy,
    }
}

/// First place where plain bracket counting goes past the limit. Brackets in
/// texts and comments count as well: generous limit, simple rule.
fn too_deep(text: &str) -> Option<Position> {
    let mut depth = 0_usize;
    let (mut line, mut column) = (1, 0);
    for c in text.chars() {
        column += 1;
        match c {
            '(' | '[' | '{' => depth += 1,
            ')' | ']' | '}' => depth = depth.saturating_sub(1),
            '\n' => {
                line += 1;
                column = 0;
            }
            _ => {}
        }
        if depth > DEEPEST_NESTING {
            return Some(Position { line, column });
        }
    }
    None
}

/// Place, field, problem and remedy for a mistake of form.
fn explain(e: &SpannedError, locator: &Locator) -> (Position, String, String, String) {
    let start = Position {
        line: e.span.start.line,
        column: e.span.start.col,
    };
    let end = Position {
        line: e.span.end.line,
        column: e.span.end.col,
    };
    let field = locator.field_at(start);
    match &e.code {
        Error::NoSuchStructField {
            expected, found, ..
        } => {
            let remedy = names_remedy(found, expected, "fields here are");
            (
                start,
                field,
                format!("there is no field `{}`", first_chars(found)),
                remedy,
            )
        }
        Error::NoSuchEnumVariant {
            expected, found, ..
        } => {
            let remedy = names_remedy(found, expected, "choose one of");
            (
                start,
                field,
                format!("`{}` is not a choice", first_chars(found)),
                remedy,
            )
        }
        Error::MissingStructField { field: name, .. } => {
            // The error comes at the closing bracket; the group starts earlier.
            let group = locator.field_at(start);
            let missing = if group.is_empty() {
                (*name).to_owned()
            } else {
                format!("{group}.{name}")
            };
            (
                locator.position_of(&group),
                missing,
                format!("`{name}` is missing"),
                missing_remedy(name),
            )
        }
        Error::DuplicateStructField { field: name, .. } => (
            start,
            field,
            format!("`{name}` is given twice"),
            "keep one of the two".into(),
        ),
        other => {
            let (problem, remedy) = plain_words(other);
            (end, locator.field_at(end), problem, remedy)
        }
    }
}

/// What to add for a field that every group of its name needs.
fn missing_remedy(name: &str) -> String {
    let example = match name {
        "schema" => "1",
        "name" => "\"wing_tip\"",
        "aft" | "up" | "span" | "chord" | "radius" | "width" | "height" | "length"
        | "thickness" => "\"60 mm\"",
        "diameter" => "\"8 in\"",
        "pitch" => "\"4.5 in\"",
        "mass" => "\"28 g\"",
        "areal_density" => "\"200 g/m2\"",
        "speed_constant" => "\"1000 rpm/V\"",
        "capacity" => "\"1300 mAh\"",
        "cells" => "3",
        "angle" | "twist" | "alpha" => "\"4 deg\"",
        "impulse" => "\"1.2 N s\"",
        "shape" => "Straight(span: \"300 mm\", chord: \"200 mm\")",
        "hub" => "(aft: \"-200 mm\", up: \"-30 mm\")",
        _ => return format!("add `{name}: ...` as the description of the format shows it"),
    };
    format!("measure it and add it, as in `{name}: {example}`")
}

fn names_remedy(found: &str, expected: &[&str], lead: &str) -> String {
    let hint = closest(found, expected.iter().copied())
        .map_or(String::new(), |name| format!("did you mean `{name}`? "));
    format!("{hint}{lead} {}", expected.join(", "))
}

/// Problem and remedy for mistakes of punctuation and type.
fn plain_words(e: &Error) -> (String, String) {
    let pair = |problem: &str, remedy: &str| (problem.to_owned(), remedy.to_owned());
    match e {
        Error::Eof | Error::UnclosedBlockComment => pair(
            "the file ends too early",
            "close every bracket, quote and comment that was opened",
        ),
        Error::ExpectedComma => pair(
            "a comma is missing before this, or a quantity stands without quotes, or a whole number has decimals",
            "put a comma between fields, write quantities like \"1150 mm\" and counts like 2",
        ),
        Error::ExpectedMapColon => pair("a colon is missing after the name", "write `name: value`"),
        Error::ExpectedArray | Error::ExpectedArrayEnd => {
            pair("a list is expected here", "write `[ ..., ... ]`")
        }
        Error::ExpectedStructLike
        | Error::ExpectedNamedStructLike(_)
        | Error::ExpectedStructLikeEnd
        | Error::ExpectedDifferentStructName { .. } => pair(
            "a group of fields is expected here",
            "write `( name: value, ... )` with a comma after each field",
        ),
        Error::ExpectedString | Error::ExpectedStringEnd => pair(
            "text in quotes is expected here",
            "write it like \"1150 mm\" or \"a name\"",
        ),
        Error::ExpectedBoolean => pair("a yes or no is expected here", "write true or false"),
        Error::ExpectedInteger | Error::IntegerOutOfBounds | Error::InvalidIntegerDigit { .. } => {
            pair(
                "a whole number is expected here",
                "write it without quotes, as in 2",
            )
        }
        Error::ExpectedFloat | Error::FloatUnderscore | Error::UnderscoreAtBeginning => pair(
            "a number is expected here",
            "write it without quotes, as in 0.5",
        ),
        Error::ExpectedIdentifier | Error::InvalidIdentifier(_) => pair(
            "a name is expected here",
            "write a field as `name: value`, and a choice by its name, as in Sealed or Straight(...)",
        ),
        Error::TrailingCharacters => pair(
            "something follows after the end",
            "remove what stands after the last closing bracket",
        ),
        Error::ExceededRecursionLimit => pair(
            "brackets are nested too deep",
            "check for brackets that are never closed",
        ),
        Error::InvalidValueForType { expected, found } => (
            format!("{} stands where {expected} is expected", first_chars(found)),
            format!("write {expected}"),
        ),
        Error::ExpectedDifferentLength { expected, found } => {
            let pair = "a pair in brackets, as in (\"150 mm\", \"40 mm\")";
            let wanted = match expected.as_str() {
                "a tuple of size 2" => pair,
                other => other,
            };
            (
                format!("the number of values is {found}"),
                format!("write {wanted}"),
            )
        }
        other => (
            first_chars(&other.to_string()),
            "compare with the examples in the description of the format".to_owned(),
        ),
    }
}

fn first_chars(text: &str) -> String {
    let clean: String = text
        .chars()
        .map(|c| if c.is_control() { '?' } else { c })
        .take(60)
        .collect();
    if text.chars().count() > 60 {
        format!("{clean}...")
    } else {
        clean
    }
}
