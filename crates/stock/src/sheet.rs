//! The scale sheet: coded squares at known places, printed by the packet and
//! found again in a photograph.

use measure::Length;
use outline::Point;

/// One of the scale sheets, numbered from 1. Each fits A4 and Letter alike.
///
/// A sheet's own coordinates are millimetres from the middle of its grid of
/// tags, y up, the sheet upright.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ScaleSheet {
    // Invariant: from 1 to `ScaleSheet::COUNT`.
    number: u8,
}

/// A coded square. Drawn as 8 by 8 modules: a black border one module wide, and
/// 36 bits inside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tag {
    /// Its number within the code family, which says which sheet it is on.
    pub id: u16,
    /// The middle of the square, in the sheet's coordinates.
    pub centre: Point,
}

impl ScaleSheet {
    /// How many different sheets there are; a long slab takes two, one at each end.
    pub const COUNT: u8 = 4;
    /// Tags from left to right.
    pub const COLUMNS: u16 = 4;
    /// Tags from top to bottom.
    pub const ROWS: u16 = 6;
    /// The side of a tag's black square.
    pub const TAG: Length = Length::mm(34.0);
    /// From the middle of one tag to the next.
    pub const PITCH: Length = Length::mm(42.0);
    /// The length of the check line, which the maker measures on the print.
    pub const CHECK_LINE: Length = Length::mm(200.0);
    /// The check line runs upright, this far left of the grid's middle.
    pub const CHECK_LINE_LEFT: Length = Length::mm(89.0);

    /// The sheet with this number, if there is one.
    pub const fn numbered(number: u8) -> Option<ScaleSheet> {
        if number >= 1 && number <= ScaleSheet::COUNT { Some(ScaleSheet { number }) } else { None }
    }

    /// Its number, from 1.
    pub const fn number(self) -> u8 {
        self.number
    }

    /// Its tags, row by row from the upper left.
    pub fn tags(self) -> impl Iterator<Item = Tag> {
        let first = u16::from(self.number - 1) * ScaleSheet::COLUMNS * ScaleSheet::ROWS;
        (0..ScaleSheet::COLUMNS * ScaleSheet::ROWS).map(move |index| {
            let column = f64::from(index % ScaleSheet::COLUMNS) - f64::from(ScaleSheet::COLUMNS - 1) / 2.0;
            let row = f64::from(ScaleSheet::ROWS - 1) / 2.0 - f64::from(index / ScaleSheet::COLUMNS);
            let pitch = ScaleSheet::PITCH.to_mm();
            Tag { id: first + index, centre: Point::new(column * pitch, row * pitch) }
        })
    }

    /// The sheet and the tag with this number of the code family.
    pub fn holding(tag: u16) -> Option<(ScaleSheet, Tag)> {
        let on_each = ScaleSheet::COLUMNS * ScaleSheet::ROWS;
        let sheet = ScaleSheet::numbered(u8::try_from(tag / on_each + 1).ok()?)?;
        sheet.tags().find(|it| it.id == tag).map(|it| (sheet, it))
    }
}

impl Tag {
    /// Modules along one side, border and all.
    pub const MODULES: usize = 8;

    /// Corners of the black square: upper left, upper right, lower right, lower left.
    pub fn corners(self) -> [Point; 4] {
        let half = ScaleSheet::TAG.to_mm() / 2.0;
        let at = |x: f64, y: f64| Point::new(self.centre.x + x * half, self.centre.y + y * half);
        [at(-1.0, 1.0), at(1.0, 1.0), at(1.0, -1.0), at(-1.0, -1.0)]
    }

    /// Whether a module is white, counted from the upper left corner.
    pub fn is_white(self, row: usize, column: usize) -> bool {
        let inside = 1..Tag::MODULES - 1;
        if !inside.contains(&row) || !inside.contains(&column) {
            return false;
        }
        let bit = (row - 1) * 6 + (column - 1);
        CODES[usize::from(self.id)] >> (35 - bit) & 1 == 1
    }
}

/// The first 96 codes of the open tag family 36h11 (Olson, "AprilTag: A robust
/// and flexible visual fiducial system", ICRA 2011), highest bit upper left,
/// row by row. The photo crate's tests find them with an independent reader.
const CODES: [u64; 96] = [
    0xd5d628584,
    0xd97f18b49,
    0xdd280910e,
    0xe479e9c98,
    0xebcbca822,
    0xf31dab3ac,
    0x056a5d085,
    0x10652e1d4,
    0x22b1dfead,
    0x265ad0472,
    0x34fe91b86,
    0x3ff962cd5,
    0x43a25329a,
    0x474b4385f,
    0x4e9d243e9,
    0x5246149ae,
    0x5997f5538,
    0x683bb6c4c,
    0x6be4a7211,
    0x7e3158eea,
    0x81da494af,
    0x858339a74,
    0x8cd51a5fe,
    0x9f21cc2d7,
    0xa2cabc89c,
    0xadc58d9eb,
    0xb16e7dfb0,
    0xb8c05eb3a,
    0xd25ef139d,
    0xd607e1962,
    0xe4aba3076,
    0x2dde6a3da,
    0x43d40c678,
    0x5620be351,
    0x64c47fa65,
    0x686d7002a,
    0x6c16605ef,
    0x6fbf50bb4,
    0x8d06d39dc,
    0x9f53856b5,
    0xadf746dc9,
    0xbc9b084dd,
    0xd290aa77b,
    0xd9e28b305,
    0xe4dd5c454,
    0xfad2fe6f2,
    0x181a8151a,
    0x26be42c2e,
    0x2e10237b8,
    0x405cd5491,
    0x7742eab1c,
    0x85e6ac230,
    0x8d388cdba,
    0x9f853ea93,
    0xc41ea2445,
    0xcf1973594,
    0x14a34a333,
    0x31eacd15b,
    0x6c79d2dab,
    0x73cbb3935,
    0x89c155bd3,
    0x8d6a46198,
    0x91133675d,
    0xa708d89fb,
    0xae5ab9585,
    0xb9558a6d4,
    0xb98743ab2,
    0xd6cec68da,
    0x1506bcaef,
    0x4becd217a,
    0x4f95c273f,
    0x658b649dd,
    0xa76c4b1b7,
    0xecf621f56,
    0x1c8a56a57,
    0x3628e92ba,
    0x53706c0e2,
    0x5e6b3d231,
    0x7809cfa94,
    0xe97eead6f,
    0x5af40604a,
    0x7492988ad,
    0xed5994712,
    0x5eceaf9ed,
    0x7c1632815,
    0xc1a0095b4,
    0xe9e25d52b,
    0x3a6705419,
    0xa8333012f,
    0x4ce5704d0,
    0x508e60a95,
    0x877476120,
    0xa864e950d,
    0xea45cfce7,
    0x19da047e8,
    0x24d4d5937,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn any_two_tags_differ_in_eleven_bits_at_every_turn() {
        // The distance that the family's name promises: 11.
        let turned = |code: u64| {
            (0..36).fold(0, |out, bit| {
                let (row, column) = (bit / 6, bit % 6);
                out | (code >> (35 - bit) & 1) << (35 - (column * 6 + 5 - row))
            })
        };
        for (index, &one) in CODES.iter().enumerate() {
            for &other in &CODES[index + 1..] {
                let turns = std::iter::successors(Some(other), |&code| Some(turned(code))).take(4);
                assert!(turns.into_iter().all(|code| (one ^ code).count_ones() >= 11));
            }
        }
    }

    #[test]
    fn a_tag_knows_its_sheet() {
        let (sheet, tag) = ScaleSheet::holding(47).unwrap();
        assert_eq!(sheet.number(), 2);
        assert_eq!(tag.centre, Point::new(63.0, -105.0));
        assert!(ScaleSheet::holding(96).is_none());
    }
}
