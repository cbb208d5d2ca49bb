//! Two people at the sticks of one plane, as with linked transmitters: while the
//! instructor holds a switch the instructor's sticks fly, and the pupil moves
//! their own along. How far apart both are is what decides whether handing back
//! will jerk the plane.

use larkfield_pilot::{ControlMessage, Sticks};

/// Sticks are compared over this long before the switch is let go.
const LAST_S: f64 = 1.0;
/// So far apart there is nothing left of the points: half of a stick's way from
/// its middle (common practice, no source).
const FAR: f64 = 0.5;

/// Time in which the instructor flew.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Takeover {
    /// How long it was.
    pub length_s: f64,
    /// How far both pairs of sticks were apart on the mean of its last second,
    /// the worst of the four; 1 is from the middle of a stick to its end.
    pub apart: f64,
}

impl Takeover {
    /// What handing back was worth, of 100.
    pub fn points(&self) -> f64 {
        100.0 * (1.0 - self.apart / FAR).clamp(0.0, 1.0)
    }

    /// For people.
    pub fn in_words(&self) -> String {
        format!(
            "Instructor flew {:.1} s; sticks {:.2} apart when it was handed back: {:.0} of 100 \
             points",
            self.length_s,
            self.apart,
            self.points()
        )
    }
}

/// The link.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Link {
    /// Since when the instructor flies.
    flies_s: Option<f64>,
    /// How far apart the sticks were, with the length of each frame; as much as
    /// makes a second.
    lately: Vec<(f64, f64)>,
    done: Vec<Takeover>,
}

/// The worst of four differences; a throttle moves half as far as other sticks.
pub fn apart(a: &Sticks, b: &Sticks) -> f64 {
    let differences = [
        a.roll - b.roll,
        a.pitch - b.pitch,
        a.yaw - b.yaw,
        2.0 * (a.throttle - b.throttle),
    ];
    differences
        .into_iter()
        .map(f64::abs)
        .fold(0.0, |worst, one| if one > worst { one } else { worst })
}

impl Link {
    /// What flies the plane this frame: the pupil, or the instructor who takes
    /// it. Switches stay the pupil's, but either may stop the motor.
    pub fn go_on(
        &mut self,
        pupil: &ControlMessage,
        instructor: &ControlMessage,
        takes: bool,
        frame_s: f64,
    ) -> ControlMessage {
        if !takes {
            if let Some(length_s) = self.flies_s.take() {
                let apart = self.apart_lately();
                self.done.push(Takeover { length_s, apart });
                self.lately.clear();
            }
            return *pupil;
        }
        self.flies_s = Some(self.flies_s.unwrap_or(0.0) + frame_s);
        self.lately
            .push((frame_s, apart(&pupil.sticks, &instructor.sticks)));
        let mut kept_s: f64 = self.lately.iter().map(|(frame_s, _)| frame_s).sum();
        while let Some((first_s, _)) = self.lately.first().copied()
            && kept_s - first_s >= LAST_S
        {
            self.lately.remove(0);
            kept_s -= first_s;
        }
        let mut message = *pupil;
        message.sticks = instructor.sticks;
        message.trims = instructor.trims;
        message.switches.throttle_cut |= instructor.switches.throttle_cut;
        message
    }

    /// Whether the instructor flies.
    pub fn is_taken(&self) -> bool {
        self.flies_s.is_some()
    }

    /// How far apart the sticks were on the mean of the last second.
    pub fn apart_lately(&self) -> f64 {
        let time_s: f64 = self.lately.iter().map(|(frame_s, _)| frame_s).sum();
        let sum: f64 = self.lately.iter().map(|(frame_s, far)| frame_s * far).sum();
        if time_s > 0.0 {
            sum / time_s
        } else {
            self.lately.last().map_or(0.0, |(_, far)| *far)
        }
    }

    /// Every time the instructor flew.
    pub fn takeovers(&self) -> &[Takeover] {
        &self.done
    }

    /// Another flight begins.
    pub fn begin(&mut self) {
        self.done.clear();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hands(roll: f64, throttle: f64) -> ControlMessage {
        ControlMessage {
            sticks: Sticks {
                roll,
                throttle,
                ..Sticks::default()
            },
            ..ControlMessage::default()
        }
    }

    #[test]
    fn while_the_switch_is_held_the_instructor_flies_at_once() {
        let mut link = Link::default();
        let (pupil, instructor) = (hands(-1.0, 1.0), hands(0.5, 0.4));
        let flies = |link: &mut Link, takes| link.go_on(&pupil, &instructor, takes, 0.02).sticks;
        assert_eq!(flies(&mut link, false), pupil.sticks);
        assert_eq!(flies(&mut link, true), instructor.sticks);
        assert!(link.is_taken());
        assert_eq!(flies(&mut link, false), pupil.sticks);
        assert_eq!(link.takeovers().len(), 1);
        link.begin();
        assert!(link.takeovers().is_empty());
    }

    #[test]
    fn either_of_them_stops_the_motor_and_the_throw_stays_the_pupils() {
        let mut pupil = hands(0.0, 0.7);
        pupil.switches.throw_held = true;
        let mut instructor = hands(0.0, 0.7);
        instructor.switches.throttle_cut = true;
        let message = Link::default().go_on(&pupil, &instructor, true, 0.02);
        assert!(message.switches.throttle_cut && message.switches.throw_held);
    }

    #[test]
    fn only_the_last_second_before_handing_back_counts() {
        let mut link = Link::default();
        // Far apart for long, then 0.1 apart for a second.
        for _ in 0..200 {
            link.go_on(&hands(-1.0, 0.0), &hands(1.0, 0.0), true, 0.02);
        }
        for _ in 0..50 {
            link.go_on(&hands(0.4, 0.5), &hands(0.5, 0.5), true, 0.02);
        }
        link.go_on(&hands(0.4, 0.5), &hands(0.5, 0.5), false, 0.02);
        let takeover = link.takeovers()[0];
        assert!((takeover.length_s - 5.0).abs() < 1e-9);
        assert!((takeover.apart - 0.1).abs() < 1e-9, "{takeover:?}");
        // 0.1 of 0.5 is a fifth.
        assert!((takeover.points() - 80.0).abs() < 1e-6);
    }

    #[test]
    fn a_throttle_half_open_is_as_far_from_shut_as_a_stick_from_its_middle() {
        let far = apart(&hands(0.0, 0.5).sticks, &hands(0.0, 0.0).sticks);
        assert_eq!(far, 1.0);
    }
}
