//! A diagnosis for people.

use core::fmt::Write;

use larkfield_faults::Origin;

use crate::causes::{Cause, Diagnosis};

impl Cause {
    /// Name and size, such as "tail-heavy, about 12 mm".
    #[must_use]
    pub fn name(&self) -> String {
        let mut name = self.fault.name.to_owned();
        if let (Some(size), Some(sizes)) = (self.size, self.fault.sizes) {
            let digits = usize::from(size < 10.0);
            let _ = write!(name, ", about {size:.digits$} {}", sizes.unit.symbol());
        }
        if self.mirrored {
            name += ", the other way round";
        }
        name
    }

    /// The number in the recording that speaks for it.
    #[must_use]
    pub fn evidence_in_words(&self) -> String {
        let evidence = &self.evidence;
        let number = |value: f64| {
            let digits = usize::from(value.abs() < 10.0);
            let sign = if value < 0.0 { "-" } else { "+" };
            format!("{sign}{:.digits$} {}", value.abs(), evidence.unit)
        };
        let when = if evidence.released_for_s < -0.05 {
            format!("{:.1} s before the release", -evidence.released_for_s)
        } else if evidence.released_for_s < 0.05 {
            "at the release".to_owned()
        } else {
            format!("{:.1} s after the release", evidence.released_for_s)
        };
        match self.fault.origin {
            Origin::Launch => {
                return format!(
                    "{}: {} off what was meant",
                    evidence.what,
                    number(evidence.off_as_designed)
                );
            }
            Origin::Air | Origin::Pilot => {
                return format!(
                    "{when}, {}: {:.1} {unit}, where {:.1} {unit} is the most that does no harm",
                    evidence.what,
                    evidence.off_as_designed,
                    evidence.off_with_fault,
                    unit = evidence.unit
                );
            }
            Origin::Build | Origin::Power | Origin::SetUp | Origin::Flight => {}
        }
        format!(
            "{when}, {}: {} off the plane as designed, {} off one with this fault",
            evidence.what,
            number(evidence.off_as_designed),
            number(evidence.off_with_fault)
        )
    }
}

impl Diagnosis {
    /// The causes of each answer.
    pub fn each_answer(&self) -> impl Iterator<Item = &[Cause]> {
        let mut from = 0;
        self.answers.iter().filter_map(move |count| {
            let answer = self.causes.get(from..from + count);
            from += count;
            answer
        })
    }

    /// Causes worth a look on the bench: all answers, and a few others for which
    /// at least half as much speaks as for the first.
    #[must_use]
    pub fn worth_a_look(&self) -> &[Cause] {
        const MOST: usize = 3;
        let best = self.causes.first().map_or(0.0, |cause| cause.gain);
        let near = (self.causes.iter()).take_while(|cause| cause.gain >= 0.5 * best);
        let shown = near.take(MOST).count().max(self.answers.iter().sum());
        self.causes.get(..shown).unwrap_or(&self.causes)
    }

    /// What to do first; nothing when nothing was found.
    #[must_use]
    pub fn first_step(&self) -> Option<String> {
        let first = self.causes.first()?;
        let look_at = match first.fault.origin {
            Origin::Launch => "Look at the throw first",
            Origin::Air => "Look at the air first",
            Origin::Pilot => "Look at the sticks first",
            Origin::Build | Origin::Power | Origin::SetUp | Origin::Flight => {
                "Look at the plane first"
            }
        };
        Some(format!(
            "{look_at}, the likeliest cause is {}. {}",
            first.name(),
            first.fault.bench
        ))
    }

    /// What it comes to, in a sentence or two.
    #[must_use]
    pub fn in_words(&self) -> String {
        let Some(first) = self.causes.first() else {
            return format!(
                "Nothing wrong with the plane was found in {:.1} s of flight by calculation; check \
                 by hand. The pilot's sticks and the wind are looked at when a flight does not \
                 pass, and only for what is common.",
                self.looked_at_s
            );
        };
        let mut words = if self.went_wrong {
            String::new()
        } else {
            "No effect on the outcome: the flight passed all the same. ".to_owned()
        };
        let _ = write!(words, "Likeliest: {}.", first.name());
        for (number, answer) in self.each_answer().enumerate() {
            let names: Vec<String> = answer.iter().map(Cause::name).collect();
            let Some((name, alike)) = names.split_first() else {
                continue;
            };
            if number > 0 {
                let _ = write!(words, " That does not explain all: also {name}.");
            }
            if !alike.is_empty() {
                let _ = write!(
                    words,
                    " The recording cannot tell it from {}: the checks by hand can.",
                    alike.join("; ")
                );
            }
        }
        words
    }
}
