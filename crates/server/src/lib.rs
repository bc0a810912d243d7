//! The page and its wire: what the browser asks, the shop answers.
//!
//! Joins no rooms and computes nothing; every answer is the shop's.

mod answer;
mod documents;
mod facts;
mod guard;
mod jobs;
mod long_work;
mod page;

use std::net::SocketAddr;
use std::sync::Arc;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware;
use measure::Problem;
use shop::Shop;
use tokio::net::TcpListener;
use tower_http::compression::CompressionLayer;

use long_work::LongWork;

/// The largest picture or drawing that is read: a 64-megapixel photograph fits.
const LARGEST_BODY: usize = 60 * 1024 * 1024;

/// The largest document that is read: a face with more zones and finer lines
/// than anybody draws fits.
const LARGEST_DOCUMENT: usize = 8 * 1024 * 1024;

/// What every answer may reach.
#[derive(Clone)]
struct Counter {
    shop: Arc<Shop>,
    work: Arc<LongWork>,
}

/// Serves the shop until the program is stopped. `listening` is told the
/// address once it is open.
///
/// # Errors
/// The address is taken, or cannot be opened.
pub fn serve(shop: Shop, at: SocketAddr, listening: impl FnOnce(SocketAddr)) -> Result<(), Problem> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(|it| Problem::new(format!("cannot start the server: {it}")))?;
    runtime.block_on(async {
        let listener = TcpListener::bind(at).await.map_err(|it| {
            Problem::new(format!("cannot listen on {at}: {it}")).hint("choose another port with --port")
        })?;
        let open = listener.local_addr().map_err(|it| Problem::new(format!("no address: {it}")))?;
        listening(open);
        axum::serve(listener, routes(shop))
            .with_graceful_shutdown(until_stopped())
            .await
            .map_err(|it| Problem::new(format!("the server has stopped: {it}")))
    })
}

/// Until the terminal says stop. Every change is on the disk by then; a page
/// that still listens for events does not hold the program up.
async fn until_stopped() {
    let _ = tokio::signal::ctrl_c().await;
    tokio::spawn(async {
        tokio::time::sleep(std::time::Duration::from_secs(1)).await;
        std::process::exit(0);
    });
}

fn routes(shop: Shop) -> Router {
    let counter = Counter { shop: Arc::new(shop), work: Arc::new(LongWork::default()) };
    Router::new()
        .merge(documents::routes())
        .merge(facts::routes())
        .merge(jobs::routes())
        .merge(long_work::routes())
        .fallback(page::page)
        .layer(CompressionLayer::new())
        .layer(DefaultBodyLimit::max(LARGEST_DOCUMENT))
        .layer(middleware::from_fn(guard::same_origin))
        .with_state(counter)
}

#[cfg(test)]
mod tests;
