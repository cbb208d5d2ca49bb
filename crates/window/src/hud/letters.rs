//! Letters that shrink where there are more of them than there is room for.

use bevy::prelude::*;

use super::{Area, RESULT_PX, ROW_WIDTH};

/// Letters of an area when there is room, and the share of the window's width and
/// height that it may take, whatever the size of text.
fn room(area: Area) -> (f32, Vec2) {
    match area {
        Area::Lesson | Area::Facts => (17.0, Vec2::new(0.46, 0.145)),
        Area::Coach => (20.0, Vec2::new(0.46, 0.13)),
        Area::Result => (RESULT_PX, Vec2::new(ROW_WIDTH, 0.68)),
        Area::Keys => (14.0, Vec2::new(0.52, 0.42)),
        Area::List | Area::Card => (14.0, Vec2::new(0.27, 0.5)),
        Area::Sticks => (15.0, Vec2::new(0.14, 0.13)),
    }
}

/// Letters shrink where there are more of them than there is room for.
pub fn fit(
    windows: Query<&Window>,
    scale: Res<UiScale>,
    mut texts: Query<(&Area, &Text, &mut TextFont)>,
) {
    let Ok(window) = windows.single() else {
        return;
    };
    for (area, text, mut font) in &mut texts {
        let (most, share) = room(*area);
        let wanted = letters_px(&text.0, window.size() / scale.0 * share, most);
        let is = TextFont::from_font_size(wanted);
        if font.font_size != is.font_size {
            font.font_size = is.font_size;
        }
    }
}

/// Size of letters with which a text fits into a plate of a size, at most `most`;
/// all in scaled pixels.
pub fn letters_px(text: &str, plate_px: Vec2, most: f32) -> f32 {
    let fits = |letters: f32| {
        // A letter of this face is 0.6 as wide as high, a line 1.2 times as high.
        let in_line = ((plate_px.x - 24.0) / (0.6 * letters)).floor().max(4.0);
        let lines: f32 = (text.lines())
            .map(|line| wrapped(line, in_line as usize) as f32)
            .sum();
        lines * letters * 1.2 + 16.0 <= plate_px.y
    };
    let mut letters = most;
    while letters > 4.0 && !fits(letters) {
        letters -= 0.5;
    }
    letters
}

/// Lines that a line takes when words wrap.
fn wrapped(line: &str, in_line: usize) -> usize {
    let (mut lines, mut at) = (1, 0);
    for word in line.split_inclusive(' ') {
        let letters = word.chars().count();
        if at > 0 && at + word.trim_end().chars().count() > in_line {
            lines += 1;
            at = 0;
        }
        at += letters;
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_words_have_smaller_letters() {
        let plate_px = Vec2::new(790.0, 490.0);
        assert_eq!(letters_px("short", plate_px, 18.0), 18.0);
        let long = "Words that go on for a while and a little longer. ".repeat(30);
        let letters = letters_px(&long, plate_px, 18.0);
        assert!((8.0..18.0).contains(&letters), "{letters}");
        // A plate half as large has a quarter of the room.
        assert!(letters_px(&long, plate_px * 0.5, 18.0) < letters);
    }

    #[test]
    fn words_wrap_at_blanks() {
        assert_eq!(wrapped("one two three", 20), 1);
        assert_eq!(wrapped("one two three", 8), 2);
        assert_eq!(wrapped("one two three", 5), 3);
        assert_eq!(wrapped("", 5), 1);
    }
}
