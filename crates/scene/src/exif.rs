//! A real EXIF block (CIPA DC-008 / JEITA CP-3451), put into a JPEG.

/// What a camera writes about a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Exif {
    /// Focal length on a 36 x 24 mm frame, in whole millimetres; 0 leaves it out.
    pub focal_35mm: u16,
    /// How the stored picture is to be turned to stand upright: tag 274, from 1 to 8.
    pub orientation: u16,
}

const SHORT: u16 = 3;
const LONG: u16 = 4;
const UNDEFINED: u16 = 7;
/// From the start of the TIFF block to its first directory.
const FIRST_DIRECTORY: u32 = 8;

impl Exif {
    /// The JPEG with this block right after its start.
    pub(crate) fn put_into(self, jpeg: &[u8], stored_px: [u32; 2]) -> Vec<u8> {
        let block = self.block(stored_px);
        let mut out = Vec::with_capacity(jpeg.len() + block.len() + 4);
        out.extend_from_slice(&jpeg[..2]);
        out.extend_from_slice(&[0xff, 0xe1]);
        out.extend_from_slice(&(block.len() as u16 + 2).to_be_bytes());
        out.extend_from_slice(&block);
        out.extend_from_slice(&jpeg[2..]);
        out
    }

    fn block(self, [width, height]: [u32; 2]) -> Vec<u8> {
        // Values that fit four bytes stand in the entry itself, left aligned (big-endian).
        let short = |it: u16| [it.to_be_bytes(), [0, 0]].concat();
        let mut own = vec![
            (0x9000, UNDEFINED, 4, b"0232".to_vec()),
            (0xa002, LONG, 1, width.to_be_bytes().to_vec()),
            (0xa003, LONG, 1, height.to_be_bytes().to_vec()),
        ];
        if self.focal_35mm > 0 {
            own.push((0xa405, SHORT, 1, short(self.focal_35mm)));
        }
        const MAIN_ENTRIES: u32 = 2;
        let exif_at = FIRST_DIRECTORY + 2 + MAIN_ENTRIES * 12 + 4;
        let main =
            [(0x0112, SHORT, 1, short(self.orientation)), (0x8769, LONG, 1, exif_at.to_be_bytes().to_vec())];
        let mut out = b"Exif\0\0MM\0*".to_vec();
        out.extend_from_slice(&FIRST_DIRECTORY.to_be_bytes());
        directory(&mut out, &main);
        directory(&mut out, &own);
        out
    }
}

fn directory(out: &mut Vec<u8>, entries: &[(u16, u16, u32, Vec<u8>)]) {
    out.extend_from_slice(&(entries.len() as u16).to_be_bytes());
    for (tag, kind, count, value) in entries {
        out.extend_from_slice(&tag.to_be_bytes());
        out.extend_from_slice(&kind.to_be_bytes());
        out.extend_from_slice(&count.to_be_bytes());
        out.extend_from_slice(value);
    }
    out.extend_from_slice(&[0; 4]);
}
