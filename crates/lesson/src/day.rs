//! A lesson on a day: with its field, its wind and what the plane stands on.

use larkfield_pilot::{Circuit, Departure, Maneuver, PlaneFeel, Steering, Task};

use crate::{CircuitFrame, Conditions, Field, Lesson, Problem};

/// A landing at the stall is refused when gusts exceed the mean wind by more: a
/// fifth of the speed at which small planes stall (common practice, no source).
const STALL_LIMIT_GUST_M_S: f64 = 1.0;

impl Lesson {
    /// What the wind of the day forbids: a landing at the stall in gusts, in
    /// which a plane that hardly flies is dropped.
    ///
    /// # Errors
    /// The reason, at the field `wind`.
    pub fn check_conditions(&self, conditions: &Conditions) -> Result<(), Vec<Problem>> {
        let at_the_stall = self.phases.iter().any(|phase| phase.goal.is_stall_limit());
        // Written so that NaN is refused.
        let smooth = conditions.gust_m_s <= STALL_LIMIT_GUST_M_S;
        if at_the_stall && !smooth {
            return Err(vec![Problem::new(
                "wind",
                format!(
                    "gusts exceed the mean wind by {:.1} m/s, and this landing is flown at the stall",
                    conditions.gust_m_s
                ),
                format!(
                    "choose a wind whose gusts stay within {STALL_LIMIT_GUST_M_S} m/s, or land \
                     with speed in hand"
                ),
            )]);
        }
        Ok(())
    }

    /// The circuit of the day; `None` for a lesson without a landing.
    pub fn circuit(&self, field: &Field, conditions: &Conditions) -> Option<Circuit> {
        let landing = self.landing.as_ref()?;
        Some(landing.circuit(field, conditions))
    }

    /// The same as a frame of reference.
    pub fn frame(&self, field: &Field, conditions: &Conditions) -> Option<CircuitFrame> {
        self.circuit(field, conditions)
            .map(|circuit| CircuitFrame::of(&circuit))
    }

    /// Direction in which the flight begins.
    pub fn departure_rad(&self, frame: Option<&CircuitFrame>) -> f64 {
        self.air_start
            .and_then(|start| start.place(frame))
            .map_or(self.launch.heading_rad(), |(_, heading_rad)| heading_rad)
    }

    /// Where the wind matters: the place of landing, or the launch point.
    pub fn place(&self) -> [f64; 2] {
        self.landing.map_or([0.0; 2], |landing| {
            [landing.aim_north_m, landing.aim_east_m]
        })
    }

    /// What a pilot does, in order: the goals without those that an earlier
    /// maneuver covers.
    pub fn maneuvers(&self) -> Vec<Maneuver> {
        self.phases
            .iter()
            .filter_map(|phase| phase.goal.maneuver())
            .collect()
    }

    /// What the pilot is told.
    pub fn task(
        &self,
        field: &Field,
        conditions: &Conditions,
        steering: Steering,
        feel: PlaneFeel,
    ) -> Task {
        let circuit = self.circuit(field, conditions);
        let start = self
            .air_start
            .and_then(|start| start.place(circuit.as_ref().map(CircuitFrame::of).as_ref()));
        let mut task = Task::after(&self.launch, self.climb_to_m(), steering);
        if let Some((_, heading_rad)) = start {
            task.heading_rad = heading_rad;
            task.throttle = feel.level_throttle;
            task.departure = Departure::InFlight;
        }
        Task {
            maneuvers: self.maneuvers(),
            circuit,
            boundary: Some(field.safety_line.boundary()),
            windsock_m_s: conditions.wind_m_s,
            feel,
            ..task
        }
    }
}
