//! Pictures: files named by their content, so that none is ever overwritten.

use std::fs::{self, File};
use std::io::Write;
use std::path::PathBuf;

use measure::Problem;
use sha2::{Digest, Sha256};
use stock::PictureId;

use crate::Store;

/// Where the pictures lie within the shop's folder.
pub(crate) const FOLDER: &str = "pictures";

impl Store {
    /// Keeps a JPEG picture and tells its name. It is safe on the disk before
    /// anything can refer to it.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn keep_picture(&self, bytes: &[u8]) -> Result<PictureId, Problem> {
        let name: String = Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect();
        let id = PictureId(name);
        let file = self.picture_file(&id);
        if file.exists() {
            return Ok(id);
        }
        let half = file.with_extension(format!("half-{}", std::process::id()));
        let written = File::create(&half)
            .and_then(|mut out| out.write_all(bytes).and_then(|()| out.sync_all()))
            .and_then(|()| fs::rename(&half, &file))
            .and_then(|()| File::open(self.folder.join(FOLDER)).and_then(|folder| folder.sync_all()));
        match written {
            Ok(()) => Ok(id),
            Err(why) => {
                let _ = fs::remove_file(&half);
                Err(Problem::new(format!("cannot keep the picture: {why}"))
                    .hint("check that the disk has room"))
            }
        }
    }

    /// A picture's bytes, if it is kept here.
    pub fn picture(&self, id: &PictureId) -> Option<Vec<u8>> {
        let is_name = id.0.len() == 64 && id.0.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'));
        is_name.then(|| fs::read(self.picture_file(id)).ok()).flatten()
    }

    fn picture_file(&self, id: &PictureId) -> PathBuf {
        self.folder.join(FOLDER).join(format!("{}.jpg", id.0))
    }
}
