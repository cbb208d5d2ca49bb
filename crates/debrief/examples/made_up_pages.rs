//! Writes pages of made-up flights into a folder, to look at them.

use std::path::Path;

use larkfield_debrief::{debrief_page, summary_page};

#[path = "../tests/made_up/mod.rs"]
mod made_up;

fn main() -> std::io::Result<()> {
    let folder = std::env::args().nth(1).unwrap_or_else(|| ".".to_owned());
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder)?;
    std::fs::write(
        folder.join("debrief.html"),
        debrief_page(&made_up::debrief()),
    )?;
    let ugly = debrief_page(&made_up::ugly_debrief());
    std::fs::write(folder.join("ugly.html"), ugly)?;
    let circuit = debrief_page(&made_up::circuit::debrief());
    std::fs::write(folder.join("circuit.html"), circuit)?;
    std::fs::write(
        folder.join("summary.html"),
        summary_page(&made_up::repeat()),
    )
}
