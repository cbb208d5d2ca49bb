//! `larkfield card`: one page for the field.

use std::fmt::Write;
use std::path::PathBuf;

use clap::Args;
use larkfield_airframe::Airframe;
use larkfield_debrief::page::document;
use larkfield_debrief::plot::escape;
use larkfield_drill::control::card;
use larkfield_files::airframe::load_airframe;
use larkfield_pilot::RadioSetup;
use larkfield_preflight::{Options, Preflight, Verdict, preflight};
use larkfield_rehearsal::{Failure, air_of};

use crate::check::write_whole;
use crate::radio::place;
use crate::terminal::{bold, say};

/// Arguments of `card`.
#[derive(Debug, Args)]
pub struct CardArguments {
    /// The airframe file
    #[arg(value_name = "FILE")]
    pub airframe: PathBuf,
    /// The radio file of your sticks, for the throws at full and half stick
    #[arg(long, value_name = "FILE")]
    pub radio: Option<PathBuf>,
    /// Write it as a page to print as well
    #[arg(long, value_name = "FILE")]
    pub page: Option<PathBuf>,
}

/// Some lines below a title.
struct Part {
    title: &'static str,
    lines: Vec<String>,
}

/// Runs the command.
///
/// # Errors
/// A wrong file, a disk that refuses.
pub fn run(arguments: &CardArguments) -> Result<(), Failure> {
    let airframe = load_airframe(&arguments.airframe)?;
    let report = preflight(&airframe, air_of(0.0, None)?, &Options::default())
        .map_err(|e| Failure::input(format!("{}: {e}", arguments.airframe.display())))?;
    let setup = match &arguments.radio {
        Some(radio) => place::load(radio)?.radio_setup(&airframe),
        None => RadioSetup::for_airframe(&airframe),
    };
    let parts = parts(&airframe, &report, &setup);
    if let Some(path) = &arguments.page {
        write_whole(path, &page(&report.name, &parts))?;
    }
    let mut text = format!("{}\n", bold(&format!("Field card of {}", report.name)));
    for part in &parts {
        let _ = writeln!(text, "\n{}", bold(part.title));
        for line in &part.lines {
            let _ = writeln!(text, "  {line}");
        }
    }
    Ok(say(&text)?)
}

/// Two columns of small print: one sheet of A4, folded once, fits a pocket.
const SHEET: &str = "<style>main{columns:2 19rem;column-gap:1.6rem;font-size:.82em;line-height:1.25}\
                     header{column-span:all}section{margin:0 0 .7em;padding:0;break-inside:avoid}\
                     h2{font-size:1.05em;margin:0 0 .2em}ul{margin:0;padding-left:1.1em}\
                     li{margin:0}.under{margin-left:1.2em}@page{size:A4;margin:12mm}</style>\n";

fn page(name: &str, parts: &[Part]) -> String {
    let name_in_page = escape(name);
    let mut body = format!("{SHEET}<header><h1>Field card of {name_in_page}</h1></header>\n");
    for part in parts {
        let _ = writeln!(body, "<section><h2>{}</h2><ul>", escape(part.title));
        for line in &part.lines {
            // What belongs to the line above stands in under it.
            let class = if line.starts_with(' ') {
                " class=\"under\""
            } else {
                ""
            };
            let _ = writeln!(body, "<li{class}>{}</li>", escape(line.trim()));
        }
        body.push_str("</ul></section>\n");
    }
    document(&format!("Field card of {name}"), &body)
}

fn parts(airframe: &Airframe, report: &Preflight, setup: &RadioSetup) -> Vec<Part> {
    vec![
        Part {
            title: "What calculation says",
            lines: verdict(report),
        },
        Part {
            title: "Balance, flight battery in (behind the wing root's leading edge)",
            lines: balance(report),
        },
        Part {
            title: "Surfaces, seen from behind",
            lines: card(airframe, setup).lines().map(str::to_owned).collect(),
        },
        Part {
            title: "Throw",
            lines: throw(airframe, report),
        },
        Part {
            title: "The first two seconds",
            lines: first_seconds(airframe),
        },
        Part {
            title: "Check by hand",
            lines: report
                .check_by_hand
                .iter()
                .map(|check| format!("[ ] {check}"))
                .collect(),
        },
        Part {
            title: "Always",
            lines: ALWAYS.map(str::to_owned).to_vec(),
        },
    ]
}

/// Cautions of every first flight.
const ALWAYS: [&str; 5] = [
    "A connected battery is live: stay behind the propeller; connect at the line, disconnect \
     first.",
    "Into wind, away from people, nobody in front; call the launch and the landing.",
    "Power lost or in doubt: nose down a little, wings level, land ahead; never reach for it.",
    "Local rules and the practice of your club come first; some allow no throw by the pilot.",
    "Calculated from a file. A real plane differs: no calculation makes a real flight safe.",
];

fn verdict(report: &Preflight) -> Vec<String> {
    let mut lines = vec![
        match report.verdict {
            Verdict::NoFaultFound => "No fault found by calculation; check by hand.",
            Verdict::Marginal => {
                "Marginal: a few millimetres or percent decide; see the preflight."
            }
            Verdict::NotYet => "Not yet: mend this first.",
        }
        .to_owned(),
    ];
    let findings = report.findings.iter().take(3);
    lines.extend(findings.map(|finding| format!("{}: {}", finding.because, finding.remedy)));
    lines
}

fn balance(report: &Preflight) -> Vec<String> {
    let mut lines = vec![format!(
        "it balances at {:.0} mm",
        report.mass.balance_aft_m * 1e3
    )];
    if let Some(limits) = &report.balance {
        lines.push(format!(
            "never before {:.0} mm or behind {:.0} mm",
            limits.fore_limit_m * 1e3,
            limits.aft_limit_m * 1e3
        ));
    }
    lines.push(format!(
        "it weighs {:.0} g, ready to fly",
        report.mass.mass_kg * 1e3
    ));
    lines
}

fn throw(airframe: &Airframe, report: &Preflight) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(launch) = &report.launch {
        lines.push(format!("throttle {:.0} %", launch.throttle * 100.0));
        lines.push(match launch.power_after_release_s {
            Some(delay_s) => format!(
                "the propeller is behind the hand: power only {delay_s:.1} s after the release"
            ),
            None => "power set and steady before the arm moves".to_owned(),
        });
        if let Some(speed_m_s) = launch.needed_release_speed_m_s {
            lines.push(format!(
                "at least {speed_m_s:.1} m/s through the air: firm and straight"
            ));
        }
        let (low, high) = (launch.pitch_window_low_deg, launch.pitch_window_high_deg);
        if let (Some(low), Some(high)) = (low, high) {
            // Nobody throws steeper than this on purpose.
            lines.push(format!(
                "nose {:.0} to {:.0} degrees above the horizon, wings level",
                low.max(0.0),
                high.min(20.0)
            ));
        }
    } else if airframe.power.is_none() {
        lines.push("no motor: a firm straight push, nose just below the horizon".to_owned());
    }
    if let Some(stall) = &report.stall {
        lines.push(format!(
            "it stalls at {:.1} m/s, motor off",
            stall.speed_m_s
        ));
    }
    if let Some(wind_m_s) = report.wind_limit_m_s {
        lines.push(format!(
            "no first flight in more than {wind_m_s:.1} m/s of wind (common practice, no source)"
        ));
    }
    lines
}

/// Cues and answers (common practice, no source).
fn first_seconds(airframe: &Airframe) -> Vec<String> {
    let steers = RadioSetup::steering_of(airframe) == larkfield_pilot::Steering::Rudder;
    let level = if steers {
        "a wing low: level it at once and gently; it answers half a second late"
    } else {
        "a wing low: level it at once, then climb"
    };
    let mut lines = vec![
        "it flies: leave it alone, climb shallow and straight to a safe height".to_owned(),
        "it sinks with its nose up: hold it level, power on, do not pull".to_owned(),
        "the nose rears: ease the elevator forward at once, then power".to_owned(),
        level.to_owned(),
    ];
    if let Some(power) = &airframe.power {
        let side = match power.propeller.rotation {
            larkfield_airframe::Rotation::Clockwise => "left",
            larkfield_airframe::Rotation::Anticlockwise => "right",
        };
        lines.push(format!(
            "power rolls it {side}: a little of the other stick, early"
        ));
    }
    lines.push(
        "every correction makes it worse: something is reversed; motor off, sticks in the middle, \
         land ahead"
            .to_owned(),
    );
    lines
}
