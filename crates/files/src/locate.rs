//! Where in the text a field stands, and which field stands at a place.
//!
//! The scan behind it is forgiving, so that it works on a broken file too.

use crate::scan::{Node, Step, scan};

/// A place in a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Position {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// Map between fields and places of one text.
#[derive(Debug)]
pub struct Locator {
    nodes: Vec<Node>,
    line_starts: Vec<usize>,
    text: String,
}

impl Locator {
    /// Scans a text.
    #[must_use]
    pub fn scan(text: &str) -> Self {
        let mut line_starts = vec![0];
        line_starts.extend(
            text.bytes()
                .enumerate()
                .filter_map(|(i, b)| (b == b'\n').then_some(i + 1)),
        );
        Self {
            nodes: scan(text),
            line_starts,
            text: text.to_owned(),
        }
    }

    /// Where the value of a field stands; for a field that is not there, the
    /// innermost enclosing value that is.
    #[must_use]
    pub fn position_of(&self, field: &str) -> Position {
        let mut best = 0;
        let mut rest = field;
        'steps: while !rest.is_empty() {
            for (i, node) in self.nodes.iter().enumerate().skip(1) {
                if node.parent == best
                    && node.step != Step::Inside
                    && let Some(tail) = strip_step(rest, &node.step)
                {
                    best = i;
                    rest = tail;
                    continue 'steps;
                }
            }
            // Look through `Name( ... )`.
            let inside = self
                .nodes
                .iter()
                .enumerate()
                .skip(1)
                .find(|(_, n)| n.parent == best && n.step == Step::Inside);
            match inside {
                Some((i, _)) => best = i,
                None => break,
            }
        }
        self.position(self.nodes[best].value)
    }

    /// Field whose value encloses a place most closely; empty for the whole.
    #[must_use]
    pub fn field_at(&self, position: Position) -> String {
        let offset = self.offset(position);
        let innermost = self
            .nodes
            .iter()
            .enumerate()
            .filter(|(_, n)| n.from <= offset && offset < n.to.max(n.from + 1))
            .map(|(i, _)| i)
            .next_back();
        self.path(innermost.unwrap_or(0))
    }

    /// Text of the value of a field, as written.
    #[must_use]
    pub fn value_text(&self, field: &str) -> Option<&str> {
        let node = self
            .nodes
            .iter()
            .enumerate()
            .find(|(i, _)| *i > 0 && self.path(*i) == field)?
            .1;
        self.text.get(node.value..node.to).map(str::trim)
    }

    fn path(&self, mut node: usize) -> String {
        let mut steps = Vec::new();
        while node != 0 {
            steps.push(&self.nodes[node].step);
            node = self.nodes[node].parent;
        }
        let mut path = String::new();
        for step in steps.iter().rev() {
            match step {
                Step::Field(name) if path.is_empty() => path.push_str(name),
                Step::Field(name) => path.push_str(&format!(".{name}")),
                Step::Item(i) => path.push_str(&format!("[{i}]")),
                Step::Member(i) => path.push_str(&format!(".{i}")),
                Step::Inside => {}
            }
        }
        path
    }

    fn position(&self, offset: usize) -> Position {
        let line = self.line_starts.partition_point(|&start| start <= offset);
        let start = self.line_starts[line.saturating_sub(1)];
        let before = self.text.get(start..offset).unwrap_or("");
        Position {
            line,
            column: before.chars().count() + 1,
        }
    }

    fn offset(&self, position: Position) -> usize {
        let start = self
            .line_starts
            .get(position.line.saturating_sub(1))
            .copied()
            .unwrap_or(self.text.len());
        let line = self.text.get(start..).unwrap_or("");
        let within = line
            .char_indices()
            .nth(position.column.saturating_sub(1))
            .map_or(line.len(), |(i, _)| i);
        start + within
    }
}

fn strip_step<'a>(path: &'a str, step: &Step) -> Option<&'a str> {
    let tail = match step {
        Step::Field(name) => path
            .strip_prefix('.')
            .unwrap_or(path)
            .strip_prefix(name.as_str())?,
        Step::Item(i) => path.strip_prefix(&format!("[{i}]"))?,
        Step::Member(i) => path.strip_prefix(&format!(".{i}"))?,
        Step::Inside => return None,
    };
    (tail.is_empty() || tail.starts_with(['.', '['])).then_some(tail)
}
