//! What is known, looked up.

use axum::extract::{Path, Query, State};
use axum::routing::get;
use axum::{Json, Router};
use shop::{BoardAsk, BoardYear, Facts, WoodSheet};

use crate::Counter;
use crate::answer::{Answer, beside};

pub(crate) fn routes() -> Router<Counter> {
    Router::new()
        .route("/api/facts", get(facts))
        .route("/api/woods/{key}", get(wood))
        .route("/api/woods/{key}/year", get(board_year))
}

async fn facts(State(it): State<Counter>) -> Answer<Json<Facts>> {
    beside(move || it.shop.facts()).await.map(Json)
}

async fn wood(State(it): State<Counter>, Path(key): Path<String>) -> Answer<Json<WoodSheet>> {
    beside(move || it.shop.wood_sheet(&key)).await.map(Json)
}

async fn board_year(
    State(it): State<Counter>,
    Path(key): Path<String>,
    Query(ask): Query<BoardAsk>,
) -> Answer<Json<BoardYear>> {
    beside(move || it.shop.board_year(&key, &ask)).await.map(Json)
}
