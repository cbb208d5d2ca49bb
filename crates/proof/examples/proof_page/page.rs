//! The page.

use std::fmt::Write;

use larkfield_debrief::page::document;
use larkfield_debrief::plot::escape;
use larkfield_proof::{Chapter, Record, Row, Table};

use crate::picture::pictures;

const STYLE: &str = "<style>\
.off{display:inline-block;position:relative;width:6.4rem;height:.8rem;vertical-align:-.1rem;\
background:linear-gradient(90deg,#fff 0 16.6%,#e4e1d6 16.6% 83.4%,#fff 83.4%);\
border-left:1px solid #d9d6ca;border-right:1px solid #d9d6ca}\
.off::before{content:\"\";position:absolute;left:50%;top:0;bottom:0;border-left:1px solid #9aa0a8}\
.off i{position:absolute;top:.1rem;width:.6rem;height:.6rem;margin-left:-.3rem;border-radius:50%;\
background:var(--blue)}\
.miss .off i{background:var(--warn);border-radius:0}\
.miss td,.miss th{color:var(--warn);font-weight:600}\
.rows{font-size:.88rem}.rows td,.rows th{padding:.22rem .7rem .22rem 0}\
.rows tbody th{font-weight:400}\
.about{color:var(--soft);font-size:.92rem}\
.limits{margin:.4rem 0;padding:.1rem .9rem .3rem;border-left:.35rem solid #b58900;\
background:#fbf6e3;max-width:44rem}\
.limits p{margin:.3rem 0}\
section{margin-top:1.6rem}h3{font-size:1.05rem}\
summary{cursor:pointer;color:var(--blue);margin:.4rem 0}\
.key{display:flex;flex-wrap:wrap;gap:.3rem 1.2rem;margin:.6rem 0;font-size:.92rem}\
.key svg{width:2.2rem;height:1rem;vertical-align:-.15rem;margin-right:.3rem}\
nav ul{columns:2 16rem;padding-left:1.2rem}\
@media print{details::details-content{content-visibility:visible;block-size:auto}}\
@media(max-width:40rem){.rows td[data-name]{grid-template-columns:6rem 1fr}}\
</style>";

/// Longer tables are folded away where pictures show the same.
const SHORT: usize = 12;

/// All records as one page.
pub fn page(records: &[Record]) -> String {
    let mut body = String::from(STYLE);
    head(&mut body, records);
    for chapter in Chapter::ALL {
        let of: Vec<(usize, &Record)> = (records.iter().enumerate())
            .filter(|(_, record)| record.chapter == chapter)
            .collect();
        if of.is_empty() {
            continue;
        }
        let _ = write!(
            body,
            "<h2 id=\"{}\">{}</h2>",
            anchor(chapter),
            escape(chapter.title())
        );
        for (number, record) in of {
            section(&mut body, record, number);
        }
    }
    body.push_str(
        "<footer><p>Made by <code>cargo xtask test</code> from what its tests compared. Flying \
         like the numbers here says nothing about whether a real aeroplane is fit to fly: check \
         it by hand.</p></footer>",
    );
    document("Compared with the outside", &body)
}

fn anchor(chapter: Chapter) -> String {
    (chapter.title().to_lowercase()).replace(|c: char| !c.is_ascii_alphanumeric(), "-")
}

/// Number of comparisons, number missed, largest share of the limit used.
fn sums<'a>(records: impl Iterator<Item = &'a Record>) -> (usize, usize, f64) {
    records.fold((0, 0, 0.0_f64), |(all, missed, most), record| {
        let worst = record.rows.iter().map(used).fold(0.0, f64::max);
        (
            all + record.rows.len(),
            missed + record.misses(),
            most.max(worst),
        )
    })
}

/// Share of what is allowed that a comparison uses; 0 where nothing is allowed
/// and nothing is off.
fn used(row: &Row) -> f64 {
    let off = row.difference().abs();
    if off == 0.0 { 0.0 } else { off / row.allowed }
}

fn head(body: &mut String, records: &[Record]) {
    let (all, missed, _) = sums(records.iter());
    let failed: usize = records.iter().map(Record::failures).sum();
    let verdict = match (failed, missed) {
        (0, 0) => "all within their limits".to_owned(),
        (0, _) => format!("{missed} known misses, all others within their limits"),
        _ => format!("<strong>{missed} out of their limits</strong>"),
    };
    // Writing to a string cannot fail.
    let _ = write!(
        body,
        "<p class=\"eyebrow\">Larkfield's flight model</p><h1>Compared with the outside</h1>\
         <div class=\"result\"><span class=\"points\">{all}</span><p class=\"verdict\">\
         comparisons with outside data, handbooks, closed forms and laws of the method: \
         {verdict}</p></div>\
         <p>Nothing here was compared with what this program said earlier. Where a flight is \
         compared with another of its own, mirrored, in another wind or at half the tick, it is a \
         law that both obey, and the source says so. The limits for tables of outside data are those asked for with the data; the others are stated beside each \
         comparison. A value remembered from a handbook says so; a rule of thumb says that it has \
         no source.</p>\
         <p class=\"key\"><span><svg viewBox=\"0 0 36 16\" aria-hidden=\"true\"><path d=\"M1 12L35 \
         4\" stroke=\"#0072b2\" stroke-width=\"2.1\"/></svg>ours</span><span><svg viewBox=\"0 0 36 \
         16\" aria-hidden=\"true\"><circle cx=\"18\" cy=\"8\" r=\"4\" fill=\"#20262e\"/></svg>\
         reference</span><span><svg viewBox=\"0 0 36 16\" aria-hidden=\"true\"><rect width=\"36\" \
         height=\"16\" fill=\"#e4e1d6\"/></svg>allowed</span></p>\
         <table class=\"stack\"><thead><tr><th>Chapter</th><th>Comparisons</th><th>Missed</th>\
         <th>Closest to its limit</th></tr></thead><tbody>"
    );
    for chapter in Chapter::ALL {
        let of = || records.iter().filter(move |r| r.chapter == chapter);
        if of().next().is_none() {
            continue;
        }
        let (all, missed, most) = sums(of());
        let _ = write!(
            body,
            "<tr{}><th><a href=\"#{}\">{}</a></th><td data-name=\"Comparisons\" class=\"num\">\
             {all}</td><td data-name=\"Missed\" class=\"num\">{missed}</td>\
             <td data-name=\"Closest\" class=\"num\">{:.0} % of it</td></tr>",
            if missed > 0 { " class=\"miss\"" } else { "" },
            anchor(chapter),
            escape(chapter.title()),
            100.0 * most,
        );
    }
    body.push_str("</tbody></table>");
    let limits: Vec<(&Record, String)> = (records.iter())
        .flat_map(|record| {
            let misses = (record.rows.iter())
                .filter(|row| !row.known_miss.is_empty())
                .map(|row| {
                    format!(
                        "Missed: {}, ours {}, reference {}, allowed {}. {}",
                        row.quantity,
                        number(row.ours),
                        number(row.reference),
                        number(row.allowed),
                        row.known_miss
                    )
                });
            let all: Vec<String> = misses.chain(record.notes.iter().cloned()).collect();
            all.into_iter().map(move |note| (record, note))
        })
        .collect();
    if !limits.is_empty() {
        body.push_str(
            "<h2 id=\"limits\">What is known not to match, and why</h2><div class=\"limits\">",
        );
        let mut told: Vec<String> = Vec::new();
        for (record, note) in limits {
            if !told.contains(&note) {
                let _ = write!(
                    body,
                    "<p><b>{}.</b> {}</p>",
                    escape(record.chapter.title()),
                    escape(&note)
                );
                told.push(note);
            }
        }
        body.push_str("</div>");
    }
}

fn section(body: &mut String, record: &Record, number: usize) {
    let (all, missed, most) = sums(std::iter::once(record));
    let _ = write!(
        body,
        "<section><h3>{}</h3><p class=\"about\">{all} comparisons, {missed} missed; the closest \
         uses {:.0} % of its limit.",
        escape(&record.title),
        100.0 * most
    );
    let mut sources: Vec<&str> = Vec::new();
    for row in &record.rows {
        if !sources.contains(&row.source.as_str()) {
            sources.push(&row.source);
        }
    }
    let _ = write!(body, " Source: {}.</p>", escape(&sources.join("; ")));
    if !record.reference_files.is_empty() {
        body.push_str("<details><summary>What the tables say of themselves</summary>");
        for file in &record.reference_files {
            let _ = write!(body, "<p class=\"about\"><code>{}</code>", escape(file));
            for line in Table::read(file).sources() {
                let _ = write!(body, "<br>{}", escape(line));
            }
            body.push_str("</p>");
        }
        body.push_str("</details>");
    }
    if !record.notes.is_empty() {
        body.push_str("<div class=\"limits\">");
        for note in &record.notes {
            let _ = write!(body, "<p>{}</p>", escape(note));
        }
        body.push_str("</div>");
    }
    let drawn = pictures(record, &format!("p{number}"));
    if !drawn.is_empty() {
        body.push_str("<div class=\"figures\">");
        for picture in &drawn {
            let _ = write!(
                body,
                "<figure>{}<figcaption>{}</figcaption></figure>",
                picture.svg,
                escape(&picture.caption)
            );
        }
        body.push_str("</div>");
    }
    let folded = record.rows.len() > SHORT;
    if folded {
        let _ = write!(
            body,
            "<details{}><summary>All {all} numbers</summary>",
            if missed > 0 { " open" } else { "" }
        );
    }
    table(body, &record.rows);
    if folded {
        body.push_str("</details>");
    }
    body.push_str("</section>");
}

fn table(body: &mut String, rows: &[Row]) {
    body.push_str(
        "<table class=\"stack rows\"><thead><tr><th>Quantity</th><th>Ours</th><th>Reference</th>\
         <th>Difference</th><th>Allowed</th><th>Within the limits</th></tr></thead><tbody>",
    );
    for row in rows {
        // The picture ends at one and a half times what is allowed.
        let part = row.difference() / row.allowed;
        let part = if row.difference() == 0.0 { 0.0 } else { part };
        let left = if part.is_nan() {
            100.0
        } else {
            50.0 + part.clamp(-1.5, 1.5) / 1.5 * 50.0
        };
        let _ = write!(
            body,
            "<tr{}><th>{}</th><td data-name=\"Ours\" class=\"num\">{}</td>\
             <td data-name=\"Reference\" class=\"num\">{}</td>\
             <td data-name=\"Difference\" class=\"num\">{}</td>\
             <td data-name=\"Allowed\" class=\"num\">{}</td><td data-name=\"{}\">\
             <span class=\"off\"><i style=\"left:{left:.0}%\"></i></span>{}</td></tr>",
            if row.holds() { "" } else { " class=\"miss\"" },
            escape(&row.quantity),
            number(row.ours),
            number(row.reference),
            number(row.difference()),
            number(row.allowed),
            if row.holds() { "Holds" } else { "Missed" },
            match (row.holds(), row.known_miss.is_empty()) {
                (true, _) => "",
                (false, true) => " missed",
                (false, false) => " known miss",
            },
        );
    }
    body.push_str("</tbody></table>");
}

/// Four significant figures, a true minus sign.
fn number(value: f64) -> String {
    let size = value.abs();
    let text = if !value.is_finite() {
        return "no number".to_owned();
    } else if size == 0.0 {
        "0".to_owned()
    } else if !(1e-4..1e6).contains(&size) {
        format!("{value:.2e}")
    } else {
        let decimals = (3.0 - size.log10().floor()).clamp(0.0, 7.0) as usize;
        format!("{value:.decimals$}")
    };
    text.replace('-', "\u{2212}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use larkfield_proof::Place;

    fn record(ours: f64) -> Record {
        Record {
            chapter: Chapter::Sections,
            title: "A <title>".to_owned(),
            reference_files: Vec::new(),
            notes: vec!["what is missing".to_owned()],
            rows: (0..4_i32)
                .map(|x| Row {
                    quantity: "lift & drag".to_owned(),
                    ours,
                    reference: 1.0,
                    allowed: 0.1,
                    source: "a book".to_owned(),
                    place: Some(Place {
                        figure: "lift".to_owned(),
                        line: "one".to_owned(),
                        x_name: "angle, deg".to_owned(),
                        y_name: "lift".to_owned(),
                        x: f64::from(x),
                    }),
                    known_miss: String::new(),
                })
                .collect(),
        }
    }

    #[test]
    fn counts_misses_and_takes_text_as_text() {
        let page = page(&[record(1.05), record(f64::NAN)]);
        assert!(page.contains("<span class=\"points\">8</span>"));
        assert!(page.contains("4 out of their limits"));
        assert!(page.contains("A &lt;title&gt;") && page.contains("lift &amp; drag"));
        assert!(page.contains("what is missing") && page.contains("no number"));
        assert!(page.contains("class=\"corridor\"") && !page.contains("NaN"));
        assert!(!page.contains("http://") || !page.contains("src="));
    }

    #[test]
    fn numbers_keep_four_figures() {
        assert_eq!(number(1234.567), "1235");
        assert_eq!(number(-0.012345), "\u{2212}0.01235");
        assert_eq!(number(1.0e-9), "1.00e\u{2212}9");
        assert_eq!(number(0.0), "0");
    }
}
