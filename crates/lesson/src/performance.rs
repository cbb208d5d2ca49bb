//! What calculation says the plane can do; the score measures against it.

/// Lowest speed at which a throttle setting holds height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LevelSpeed {
    /// Throttle, 0 to 1.
    pub throttle: f64,
    /// The speed; `None` where this throttle holds height at no speed.
    pub speed_m_s: Option<f64>,
}

/// Performance of one airframe in the air of the field.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Performance {
    /// Stall speed in straight flight, power off.
    pub stall_speed_m_s: f64,
    /// Lowest level speed over throttle, sorted by throttle.
    pub minimum_level_speed: Vec<LevelSpeed>,
    /// Flying mass.
    pub mass_kg: f64,
}

impl Performance {
    /// Lowest level speed at a throttle, on the straight line between the rows;
    /// outside the table its nearest row. `None` where a row involved holds
    /// height at no speed, or when there is no table.
    pub fn minimum_level_speed_m_s(&self, throttle: f64) -> Option<f64> {
        let rows = &self.minimum_level_speed;
        let above = rows.iter().position(|row| row.throttle >= throttle);
        let Some(above) = above else {
            return rows.last().and_then(|row| row.speed_m_s);
        };
        let high = rows.get(above)?;
        let Some(low) = above.checked_sub(1).and_then(|below| rows.get(below)) else {
            return high.speed_m_s;
        };
        let share = (throttle - low.throttle) / (high.throttle - low.throttle);
        if share >= 1.0 {
            return high.speed_m_s;
        }
        let (from, to) = (low.speed_m_s?, high.speed_m_s?);
        Some(from + (to - from) * share)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_read_between_rows_and_says_where_nothing_holds_height() {
        let row = |throttle, speed_m_s| LevelSpeed {
            throttle,
            speed_m_s,
        };
        let plane = Performance {
            stall_speed_m_s: 5.0,
            minimum_level_speed: vec![row(0.0, None), row(0.4, Some(6.0)), row(0.8, Some(5.0))],
            mass_kg: 0.5,
        };
        assert_eq!(plane.minimum_level_speed_m_s(0.4), Some(6.0));
        assert_eq!(plane.minimum_level_speed_m_s(0.6), Some(5.5));
        assert_eq!(plane.minimum_level_speed_m_s(1.0), Some(5.0));
        assert_eq!(plane.minimum_level_speed_m_s(0.2), None);
        assert_eq!(plane.minimum_level_speed_m_s(0.0), None);
        assert_eq!(Performance::default().minimum_level_speed_m_s(0.5), None);
    }
}
