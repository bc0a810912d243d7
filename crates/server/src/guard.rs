//! Keeps other people's pages out: a page from elsewhere that is open in the
//! same browser must not be able to change the shop.

use axum::extract::Request;
use axum::http::{HeaderMap, Method, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use measure::Problem;
use shop::Trouble;

use crate::answer::Refusal;

/// Refuses a change whose page did not come from this very address.
pub(crate) async fn same_origin(request: Request, next: Next) -> Response {
    let reads = matches!(*request.method(), Method::GET | Method::HEAD);
    if reads || is_own(request.headers()) {
        return next.run(request).await;
    }
    let problem = Problem::new("this request came from another site's page");
    Refusal(Trouble::Conflict(problem.hint("open the page at Treen's own address"))).into_response()
}

/// Whether the page that asks came from the address that is asked. Programs
/// other than browsers send no origin.
fn is_own(headers: &HeaderMap) -> bool {
    let text = |name| headers.get(name).and_then(|it| it.to_str().ok());
    match text(header::ORIGIN) {
        None => true,
        Some(origin) => origin.split_once("://").map(|(_, host)| host) == text(header::HOST),
    }
}
