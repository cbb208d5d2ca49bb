//! Polars that a user gives: lift, drag and moment by Reynolds number and angle.

use larkfield_airframe::PolarRow;

/// A table of rows by Reynolds number and angle.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Polar {
    /// Reynolds number and rows sorted by angle.
    curves: Vec<(f64, Vec<PolarRow>)>,
    /// Least drag of all rows.
    pub least_drag: f64,
    /// Sine of the angle of most lift.
    pub stall_sine: f64,
}

impl Polar {
    pub fn new(rows: &[PolarRow]) -> Self {
        let mut curves: Vec<(f64, Vec<PolarRow>)> = Vec::new();
        for row in rows {
            match curves.iter_mut().find(|(re, _)| *re == row.reynolds) {
                Some((_, curve)) => curve.push(*row),
                None => curves.push((row.reynolds, vec![*row])),
            }
        }
        curves.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (_, curve) in &mut curves {
            curve.sort_by(|a, b| a.alpha_rad.total_cmp(&b.alpha_rad));
        }
        let least_drag = rows.iter().map(|r| r.drag).fold(f64::MAX, f64::min);
        let top = rows
            .iter()
            .fold(None::<&PolarRow>, |best, r| match best {
                Some(b) if b.lift >= r.lift => Some(b),
                _ => Some(r),
            })
            .map_or(0.2, |r| r.alpha_rad);
        Self {
            curves,
            least_drag: if rows.is_empty() { 0.0 } else { least_drag },
            stall_sine: libm::sin(top),
        }
    }

    fn ends(&self) -> (f64, f64) {
        let mut low = f64::MIN;
        let mut high = f64::MAX;
        for (_, curve) in &self.curves {
            if let (Some(a), Some(b)) = (curve.first(), curve.last()) {
                low = low.max(a.alpha_rad);
                high = high.min(b.alpha_rad);
            }
        }
        (low, high)
    }

    /// Inside the table the table is the whole truth; beyond it the plate
    /// takes over within a few degrees.
    pub fn attachment(&self, alpha_rad: f64) -> f64 {
        const BLEND_RAD: f64 = 0.07;
        let (low, high) = self.ends();
        let beyond = (alpha_rad - high).max(low - alpha_rad).max(0.0) / BLEND_RAD;
        let t = beyond.min(1.0);
        1.0 - t * t * (3.0 - 2.0 * t)
    }

    pub fn at(&self, reynolds: f64, alpha_rad: f64) -> PolarRow {
        let Some(last) = self.curves.len().checked_sub(1) else {
            return PolarRow {
                reynolds,
                alpha_rad,
                lift: 0.0,
                drag: 0.0,
                moment: 0.0,
            };
        };
        let mut k = 0;
        while k < last && reynolds > self.curves[k + 1].0 {
            k += 1;
        }
        let low = along(&self.curves[k].1, alpha_rad);
        if k == last {
            return low;
        }
        let high = along(&self.curves[k + 1].1, alpha_rad);
        let (a, b) = (self.curves[k].0, self.curves[k + 1].0);
        mix(&low, &high, ((reynolds - a) / (b - a)).clamp(0.0, 1.0))
    }
}

fn along(curve: &[PolarRow], alpha_rad: f64) -> PolarRow {
    let last = curve.len() - 1;
    let mut k = 0;
    while k + 1 < last && alpha_rad > curve[k + 1].alpha_rad {
        k += 1;
    }
    if last == 0 {
        return curve[0];
    }
    let (a, b) = (curve[k].alpha_rad, curve[k + 1].alpha_rad);
    mix(
        &curve[k],
        &curve[k + 1],
        ((alpha_rad - a) / (b - a).max(1e-9)).clamp(0.0, 1.0),
    )
}

fn mix(a: &PolarRow, b: &PolarRow, t: f64) -> PolarRow {
    let m = |x: f64, y: f64| x + t * (y - x);
    PolarRow {
        reynolds: m(a.reynolds, b.reynolds),
        alpha_rad: m(a.alpha_rad, b.alpha_rad),
        lift: m(a.lift, b.lift),
        drag: m(a.drag, b.drag),
        moment: m(a.moment, b.moment),
    }
}
