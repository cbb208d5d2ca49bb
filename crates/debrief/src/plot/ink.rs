//! How lines are told apart.

/// The look of a line. Each differs from the others in dash and in lightness,
/// so that a grey print and colour-blind eyes can tell them apart.
///
/// Line colours are blue, vermillion, bluish green and black of the palette of
/// M. Okabe and K. Ito, "Color universal design" (2008); label colours are the
/// same hues darkened until they contrast with white by more than 4.5 to 1, as
/// WCAG 2.2, 1.4.3 asks of text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Ink {
    /// Blue, unbroken: the thing itself.
    #[default]
    Main,
    /// Vermillion, long dashes: a limit or a second thing.
    Limit,
    /// Green, dots: a third.
    Third,
    /// Black, thin and unbroken: a frame of reference.
    Plain,
    /// Grey, dash and dot: background.
    Faint,
}

impl Ink {
    /// Colour of the line.
    #[must_use]
    pub const fn line(self) -> &'static str {
        match self {
            Self::Main => "#0072b2",
            Self::Limit => "#d55e00",
            Self::Third => "#00805c",
            Self::Plain => "#20262e",
            Self::Faint => "#6b7480",
        }
    }

    /// Colour of its label.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Main => "#005a8f",
            Self::Limit => "#a34400",
            Self::Third => "#00654a",
            Self::Plain => "#20262e",
            Self::Faint => "#565e69",
        }
    }

    /// `stroke-dasharray`, `none` for an unbroken line.
    #[must_use]
    pub const fn dash(self) -> &'static str {
        match self {
            Self::Main | Self::Plain => "none",
            Self::Limit => "7 3.5",
            Self::Third => "1.5 3.2",
            Self::Faint => "8 3 1.5 3",
        }
    }

    /// Width of the line in units of the picture.
    #[must_use]
    pub const fn width(self) -> f64 {
        match self {
            Self::Main => 2.1,
            Self::Limit => 1.9,
            Self::Third => 2.3,
            Self::Plain => 1.2,
            Self::Faint => 1.2,
        }
    }
}
