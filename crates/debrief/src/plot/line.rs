//! Fewer points, and none outside the frame.

/// At most about `most` points that look the same: the stretch is cut into
/// equal runs of points and each gives its lowest and highest, so that no peak
/// is lost. The points are finite.
#[must_use]
pub fn decimate(points: &[[f64; 2]], most: usize) -> Vec<[f64; 2]> {
    let runs = (most / 2).max(1);
    if points.len() <= 2 * runs {
        return points.to_vec();
    }
    let mut out = Vec::with_capacity(2 * runs + 2);
    for run in 0..runs {
        let from = run * points.len() / runs;
        let to = (run + 1) * points.len() / runs;
        let (mut low, mut high) = (from, from);
        for i in from..to {
            if points[i][1] < points[low][1] {
                low = i;
            }
            if points[i][1] > points[high][1] {
                high = i;
            }
        }
        out.push(points[low.min(high)]);
        if low != high {
            out.push(points[low.max(high)]);
        }
    }
    // The ends are where a reader looks for the value.
    if out.first() != points.first() {
        out.insert(0, points[0]);
    }
    if let Some(last) = points.last()
        && out.last() != Some(last)
    {
        out.push(*last);
    }
    out
}

/// Drops points of a curve in the plane that lie closer than `least` to the
/// last one kept. First and last stay.
#[must_use]
pub fn thin(points: &[[f64; 2]], least: f64) -> Vec<[f64; 2]> {
    let mut out: Vec<[f64; 2]> = Vec::new();
    for (index, point) in points.iter().enumerate() {
        let far = out.last().is_none_or(|last| {
            let (dx, dy) = (point[0] - last[0], point[1] - last[1]);
            (dx * dx + dy * dy).sqrt() >= least
        });
        if far || index + 1 == points.len() {
            out.push(*point);
        }
    }
    out
}

/// Unbroken stretches of finite points.
pub(super) fn split(points: &[[f64; 2]]) -> Vec<Vec<[f64; 2]>> {
    let finite = |p: &[f64; 2]| p[0].is_finite() && p[1].is_finite();
    points
        .split(|p| !finite(p))
        .filter(|run| !run.is_empty())
        .map(<[_]>::to_vec)
        .collect()
}

/// The parts of a line inside the box from `low` to `high`, by the method of
/// Liang and Barsky (ACM Trans. Graph. 3 (1984) 1) on each segment.
#[must_use]
pub fn clip(points: &[[f64; 2]], low: [f64; 2], high: [f64; 2]) -> Vec<Vec<[f64; 2]>> {
    let mut out: Vec<Vec<[f64; 2]>> = Vec::new();
    if let [only] = points {
        let inside = (0..2).all(|axis| low[axis] <= only[axis] && only[axis] <= high[axis]);
        return if inside { vec![vec![*only]] } else { out };
    }
    let mut open = false;
    for pair in points.windows(2) {
        let Some((from, to)) = clip_segment(pair[0], pair[1], low, high) else {
            open = false;
            continue;
        };
        match out.last_mut() {
            Some(run) if open && from == pair[0] => run.push(to),
            _ => out.push(vec![from, to]),
        }
        open = to == pair[1];
    }
    out
}

fn clip_segment(
    a: [f64; 2],
    b: [f64; 2],
    low: [f64; 2],
    high: [f64; 2],
) -> Option<([f64; 2], [f64; 2])> {
    let (mut enter, mut leave) = (0.0f64, 1.0f64);
    for axis in 0..2 {
        let run = b[axis] - a[axis];
        for (toward, room) in [(-run, a[axis] - low[axis]), (run, high[axis] - a[axis])] {
            if toward == 0.0 {
                if room < 0.0 {
                    return None;
                }
            } else if toward < 0.0 {
                enter = enter.max(room / toward);
            } else {
                leave = leave.min(room / toward);
            }
        }
    }
    if enter > leave {
        return None;
    }
    let at = |t: f64| [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
    let from = if enter == 0.0 { a } else { at(enter) };
    let to = if leave == 1.0 { b } else { at(leave) };
    Some((from, to))
}
