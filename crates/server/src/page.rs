//! The page itself, held inside the program.

use axum::http::{HeaderMap, StatusCode, Uri, header};
use axum::response::{IntoResponse, Response};
use measure::Problem;
use rust_embed::{Embed, EmbeddedFile};
use shop::Trouble;

use crate::answer::Refusal;

#[derive(Embed)]
#[folder = "$OUT_DIR/page"]
struct Page;

/// Nothing but what the program itself serves may be loaded or run.
const POLICY: &str = "default-src 'self'; img-src 'self' data: blob:; style-src 'self' 'unsafe-inline'; \
                      frame-ancestors 'none'; base-uri 'none'; form-action 'self'";

/// A file of the page; whatever is no file is a place within it.
pub(crate) async fn page(uri: Uri, headers: HeaderMap) -> Response {
    let path = uri.path().trim_start_matches('/');
    if path.starts_with("api/") {
        let problem = Problem::new(format!("there is nothing at /{path}"));
        return Refusal(Trouble::Missing(problem)).into_response();
    }
    match Page::get(path) {
        Some(file) => send(path, file, &headers),
        None => match Page::get("index.html") {
            Some(file) => send("index.html", file, &headers),
            None => StatusCode::NOT_FOUND.into_response(),
        },
    }
}

fn send(path: &str, file: EmbeddedFile, headers: &HeaderMap) -> Response {
    let hash: String = file.metadata.sha256_hash().iter().map(|byte| format!("{byte:02x}")).collect();
    let tag = format!("\"{hash}\"");
    // Files under assets/ carry their hash in their name.
    let keep = if path.starts_with("assets/") { "public, max-age=31536000, immutable" } else { "no-cache" };
    let known = headers.get(header::IF_NONE_MATCH).is_some_and(|it| it.as_bytes() == tag.as_bytes());
    let describe = [
        (header::CONTENT_TYPE, file.metadata.mimetype().to_owned()),
        (header::CACHE_CONTROL, keep.to_owned()),
        (header::ETAG, tag),
        (header::CONTENT_SECURITY_POLICY, POLICY.to_owned()),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff".to_owned()),
    ];
    if known {
        (StatusCode::NOT_MODIFIED, describe).into_response()
    } else {
        (describe, file.data).into_response()
    }
}
