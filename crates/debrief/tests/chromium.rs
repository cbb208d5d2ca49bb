//! The page in a real browser: it fits a phone, says nothing to the console,
//! and prints.
//!
//! Needs Chromium; without one each test says in its output that it was
//! skipped, and why. `LARKFIELD_CHROMIUM` names the program when it is not
//! among the usual places.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use larkfield_debrief::{debrief_page, summary_page};

mod made_up;

fn chromium() -> Option<PathBuf> {
    if let Some(named) = std::env::var_os("LARKFIELD_CHROMIUM") {
        return Some(PathBuf::from(named));
    }
    let names = ["chromium", "chromium-browser", "google-chrome", "chrome"];
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path)
        .flat_map(|folder| names.map(|name| folder.join(name)))
        .find(|candidate| candidate.is_file())
}

/// The browser, or nothing and a line that cannot be taken for a pass.
fn browser(test: &str) -> Option<PathBuf> {
    let found = chromium();
    if found.is_none() {
        // Straight to the terminal: the harness hides what passing tests print.
        use std::io::Write;
        let _ = writeln!(
            std::io::stderr(),
            "SKIPPED {test}: no Chromium found; install the package \"chromium\" or set \
             LARKFIELD_CHROMIUM"
        );
    }
    found
}

fn run(browser: &Path, place: &Path, page: &Path, options: &[&str]) -> Output {
    // A home of its own for every call: nothing remembered, nothing shared.
    let home = tempfile::tempdir_in(place).unwrap();
    Command::new(browser)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--hide-scrollbars",
            "--force-device-scale-factor=1",
        ])
        .arg(format!("--user-data-dir={}", home.path().display()))
        .args(options)
        .arg(format!("file://{}", page.display()))
        .output()
        .unwrap()
}

fn pages() -> [(&'static str, String); 4] {
    [
        ("debrief", debrief_page(&made_up::debrief())),
        ("ugly", debrief_page(&made_up::ugly_debrief())),
        ("circuit", debrief_page(&made_up::circuit::debrief())),
        ("summary", summary_page(&made_up::repeat())),
    ]
}

/// Measures a page from inside and tells the frame around it. Stands before the policy of the page, which forbids scripts to
/// everything that follows.
const PROBE: &str = "<script>
const found = [];
addEventListener('error', e => found.push('error ' + e.message));
addEventListener('securitypolicyviolation', e => found.push('policy ' + e.violatedDirective));
console.error = console.warn = (...a) => found.push('console ' + a.join(' '));
addEventListener('load', () => {
  const wide = [...document.querySelectorAll('body *')].filter(e =>
    e.getBoundingClientRect().right > innerWidth + 0.5).map(e => e.outerHTML.slice(0, 60));
  const cut = [...document.querySelectorAll('svg text')].filter(e => {
    const a = e.getBoundingClientRect(), b = e.ownerSVGElement.getBoundingClientRect();
    return a.left < b.left - 1 || a.right > b.right + 1 || a.top < b.top - 1 || a.bottom > b.bottom + 1;
  }).map(e => e.ownerSVGElement.id + ':' + e.textContent);
  const small = Math.min(...[...document.querySelectorAll('svg text')].map(e =>
    parseFloat(getComputedStyle(e).fontSize) * e.getScreenCTM().a));
  const dom = document.documentElement;
  parent.postMessage(JSON.stringify({inner: innerWidth, scroll: dom.scrollWidth,
    wide, cut, small, found, height: dom.scrollHeight}), '*');
});
</script>";

/// What the probe says of a page in a frame of this width. A window of its own
/// will not do: the browser makes none narrower than 500 pixels. The frame
/// keeps what it is told where `--dump-dom` shows it.
fn probe(browser: &Path, place: &Path, html: &str, width: u32) -> serde_json::Value {
    let file = place.join("probed.html");
    let probed = html.replacen("<head>", &format!("<head>{PROBE}"), 1);
    assert_ne!(probed, html);
    std::fs::write(&file, probed).unwrap();
    let frame = place.join("frame.html");
    std::fs::write(
        &frame,
        format!(
            "<!DOCTYPE html><html><body><script>addEventListener('message', e => {{ \
             document.documentElement.dataset.probe = e.data; }});</script>\
             <iframe src=\"probed.html\" width=\"{width}\" height=\"800\" \
             style=\"border:0\"></iframe></body></html>"
        ),
    )
    .unwrap();
    let options = [
        "--dump-dom",
        "--virtual-time-budget=5000",
        "--window-size=1400,900",
    ];
    let output = run(browser, place, &frame, &options);
    let dom = String::from_utf8_lossy(&output.stdout);
    let from = dom.find("data-probe=\"").unwrap_or_else(|| {
        panic!("no probe: {}", String::from_utf8_lossy(&output.stderr));
    }) + 12;
    let to = from + dom[from..].find('"').unwrap();
    let json = dom[from..to]
        .replace("&quot;", "\"")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&");
    serde_json::from_str(&json).unwrap()
}

#[test]
fn pages_fit_phone_and_desk_and_say_nothing_to_the_console() {
    let Some(browser) = browser("pages_fit_phone_and_desk") else {
        return;
    };
    let place = tempfile::tempdir().unwrap();
    // The probe must be able to see a page that does not fit and one that errs.
    let bad = "<!DOCTYPE html><html><head><meta name=viewport content=\"width=device-width\">\
               </head><body><div style=\"width:900px\">x</div><script>nope()</script></body></html>";
    let seen = probe(&browser, place.path(), bad, 360);
    assert_eq!(seen["inner"], 360, "{seen}");
    assert!(seen["scroll"].as_f64().unwrap() > 360.0, "{seen}");
    assert!(seen["found"].to_string().contains("nope"), "{seen}");

    for (name, page) in pages() {
        for width in [320, 360, 768, 1280] {
            let seen = probe(&browser, place.path(), &page, width);
            assert_eq!(seen["inner"], width, "{name}: {seen}");
            let scroll = seen["scroll"].as_f64().unwrap();
            assert!(scroll <= f64::from(width), "{name} at {width}: {seen}");
            assert_eq!(seen["found"], serde_json::json!([]), "{name} at {width}");
            assert_eq!(seen["wide"], serde_json::json!([]), "{name} at {width}");
            assert_eq!(seen["cut"], serde_json::json!([]), "{name} at {width}");
            // Smallest letters of any picture in CSS pixels; 9 px is about 1.5 mm
            // on a phone, common practice, no source.
            let small = seen["small"].as_f64().unwrap();
            let least = if width < 360 { 7.5 } else { 9.0 };
            assert!(small >= least, "{name} at {width}: letters of {small} px");
        }
    }
}

/// Width and height of a PNG: two big-endian numbers from byte 16 on, by the
/// PNG specification, 11.2.2 IHDR.
fn png_size(bytes: &[u8]) -> [u32; 2] {
    let number = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().unwrap());
    [number(16), number(20)]
}

#[test]
fn pages_are_drawn_at_phone_and_desk_size() {
    let Some(browser) = browser("pages_are_drawn") else {
        return;
    };
    let place = tempfile::tempdir().unwrap();
    let blank = place.path().join("blank.html");
    std::fs::write(&blank, "<!DOCTYPE html><title>x</title>").unwrap();
    for [width, height] in [[360, 800], [1280, 900]] {
        let size = format!("--window-size={width},{height}");
        let draw = |page: &Path| {
            let png = place.path().join("shot.png");
            let shot = format!("--screenshot={}", png.display());
            let output = run(&browser, place.path(), page, &[&shot, &size]);
            assert!(output.status.success(), "{output:?}");
            let bytes = std::fs::read(&png).unwrap();
            std::fs::remove_file(&png).unwrap();
            bytes
        };
        let nothing = draw(&blank).len();
        for (name, page) in pages() {
            let file = place.path().join(format!("{name}.html"));
            std::fs::write(&file, page).unwrap();
            let bytes = draw(&file);
            assert_eq!(png_size(&bytes), [width, height], "{name}");
            // A picture with something on it takes far more than a blank one.
            assert!(
                bytes.len() > 4 * nothing,
                "{name}: {} against {nothing}",
                bytes.len()
            );
        }
    }
}

#[test]
fn the_page_prints_on_a_few_sheets_of_a4() {
    let Some(browser) = browser("the_page_prints") else {
        return;
    };
    let place = tempfile::tempdir().unwrap();
    for (name, page) in pages() {
        let file = place.path().join(format!("{name}.html"));
        std::fs::write(&file, page).unwrap();
        let pdf = place.path().join("page.pdf");
        let print = format!("--print-to-pdf={}", pdf.display());
        let output = run(
            &browser,
            place.path(),
            &file,
            &[&print, "--no-pdf-header-footer"],
        );
        assert!(output.status.success(), "{output:?}");
        let bytes = std::fs::read(&pdf).unwrap();
        assert!(bytes.starts_with(b"%PDF-"), "{name}");
        let text = String::from_utf8_lossy(&bytes);
        let sheets = text.matches("/Type /Page\n").count();
        assert!((1..=8).contains(&sheets), "{name}: {sheets} sheets");
        // A4 is 210 by 297 mm (ISO 216): 595.28 by 841.89 points of 1/72 inch.
        let from = text.find("/MediaBox [0 0 ").unwrap() + 15;
        let size: Vec<f64> = text[from..]
            .split([' ', ']'])
            .take(2)
            .map(|n| n.parse().unwrap())
            .collect();
        assert!((size[0] - 595.28).abs() < 1.0, "{name}: {size:?}");
        assert!((size[1] - 841.89).abs() < 1.0, "{name}: {size:?}");
    }
}
