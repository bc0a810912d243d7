//! Tells the printer not to shrink the pages.
//!
//! Viewers fit pages to the paper unless the file says otherwise; the
//! typesetter has no switch for it.

use lopdf::{Dictionary, Document, Object};
use measure::Problem;

/// Sets `/ViewerPreferences << /PrintScaling /None >>` (ISO 32000-1, table 150).
///
/// # Errors
/// The bytes are no document.
pub(crate) fn at_full_size(pdf: &[u8]) -> Result<Vec<u8>, Problem> {
    let mut document = Document::load_mem(pdf).map_err(|fault| broken(&fault.to_string()))?;
    let catalog = document.catalog_mut().map_err(|fault| broken(&fault.to_string()))?;
    let mut preferences = match catalog.get(b"ViewerPreferences") {
        Ok(Object::Dictionary(found)) => found.clone(),
        Ok(_) | Err(_) => Dictionary::new(),
    };
    preferences.set("PrintScaling", Object::Name(b"None".to_vec()));
    catalog.set("ViewerPreferences", Object::Dictionary(preferences));
    let mut out = Vec::new();
    document.save_modern(&mut out).map_err(|fault| broken(&fault.to_string()))?;
    Ok(out)
}

fn broken(reason: &str) -> Problem {
    Problem::new(format!("the pages could not be marked for printing at full size: {reason}"))
        .hint("plan the job again, and print again")
}
