//! Finding room for the name of a line beside the line.

/// Side of a cell of the raster, in units of the picture.
const CELL: f64 = 3.0;

/// Which parts of a picture are taken.
pub(super) struct Room {
    low: [f64; 2],
    columns: usize,
    rows: usize,
    taken: Vec<u8>,
}

impl Room {
    pub(super) fn new(low: [f64; 2], high: [f64; 2]) -> Self {
        let cells = |axis: usize| ((high[axis] - low[axis]) / CELL).ceil().clamp(1.0, 1000.0);
        let (columns, rows) = (cells(0) as usize, cells(1) as usize);
        Self {
            low,
            columns,
            rows,
            taken: vec![0; columns * rows],
        }
    }

    fn index(&self, x: f64, y: f64) -> Option<usize> {
        let column = ((x - self.low[0]) / CELL).floor();
        let row = ((y - self.low[1]) / CELL).floor();
        let inside =
            column >= 0.0 && row >= 0.0 && column < self.columns as f64 && row < self.rows as f64;
        inside.then(|| row as usize * self.columns + column as usize)
    }

    /// Marks where a line runs.
    pub(super) fn add_line(&mut self, points: &[[f64; 2]]) {
        for pair in points.windows(2) {
            let (dx, dy) = (pair[1][0] - pair[0][0], pair[1][1] - pair[0][1]);
            let steps = ((dx.abs().max(dy.abs())) / CELL).ceil().clamp(1.0, 2000.0);
            for i in 0..=steps as usize {
                let t = i as f64 / steps;
                if let Some(cell) = self.index(pair[0][0] + t * dx, pair[0][1] + t * dy) {
                    self.taken[cell] = self.taken[cell].saturating_add(1).min(3);
                }
            }
        }
    }

    /// Marks a box that nothing else should cover.
    pub(super) fn add_box(&mut self, low: [f64; 2], size: [f64; 2]) {
        self.each_cell(low, size, |taken| *taken = 12);
    }

    fn each_cell(&mut self, low: [f64; 2], size: [f64; 2], mut change: impl FnMut(&mut u8)) {
        let (nx, ny) = ((size[0] / CELL) as usize, (size[1] / CELL) as usize);
        for row in 0..=ny {
            for column in 0..=nx {
                let x = low[0] + column as f64 * CELL;
                let y = low[1] + row as f64 * CELL;
                if let Some(cell) = self.index(x, y) {
                    change(&mut self.taken[cell]);
                }
            }
        }
    }

    /// How much of a box is taken; what lies outside counts most.
    fn cost(&self, low: [f64; 2], size: [f64; 2]) -> u32 {
        let (nx, ny) = ((size[0] / CELL) as usize, (size[1] / CELL) as usize);
        let mut sum = 0;
        for row in 0..=ny {
            for column in 0..=nx {
                let x = low[0] + column as f64 * CELL;
                let y = low[1] + row as f64 * CELL;
                sum += self
                    .index(x, y)
                    .map_or(200, |cell| u32::from(self.taken[cell]));
            }
        }
        sum
    }

    /// The corner, of several, where a box of `size` covers least.
    pub(super) fn freest(&self, corners: &[[f64; 2]], size: [f64; 2]) -> [f64; 2] {
        let best = corners.iter().min_by_key(|low| self.cost(**low, size));
        best.copied().unwrap_or(self.low)
    }

    /// Upper left corner of the freest box of `size` that touches the line
    /// from above or below, and takes it. Among equals the one farthest right,
    /// where a reader's eye leaves the line.
    pub(super) fn place(&mut self, line: &[[f64; 2]], size: [f64; 2]) -> Option<[f64; 2]> {
        let mut best: Option<(u32, [f64; 2])> = None;
        let stride = (line.len() / 80).max(1);
        for anchor in line.iter().rev().step_by(stride) {
            for (offset, far) in offsets(size) {
                let low = [anchor[0] + offset[0], anchor[1] + offset[1]];
                let cost = self.cost(low, size) + far;
                if best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, low));
                }
            }
        }
        let (_, low) = best?;
        self.add_box(low, size);
        Some(low)
    }
}

/// Where a label of `size` may stand about its anchor, and what being farther
/// away costs.
fn offsets(size: [f64; 2]) -> impl Iterator<Item = ([f64; 2], u32)> {
    let [w, h] = size;
    let above_below = [(-4.0 - h, 0), (4.0, 0), (-11.0 - h, 4), (11.0, 4)];
    let stacked = [0.0, 0.5, 1.0]
        .into_iter()
        .flat_map(move |share| above_below.map(|(y, far)| ([-share * w, y], far)));
    let beside = [7.0, -w - 7.0, 14.0, -w - 14.0]
        .into_iter()
        .flat_map(move |x| [-0.5 * h, -h, 0.0].map(|y| ([x, y], 2)));
    stacked.chain(beside)
}

/// Width of a line of text in a system font, from its number of letters: 0.62
/// em a letter holds the half-bold of the wide system fonts; measured on
/// DejaVu Sans, others are narrower.
pub(super) fn text_width(text: &str, size: f64) -> f64 {
    0.62 * size * text.chars().count() as f64
}
