//! What is known, looked up.

use axum::extract::{Path, Query, State};
use axum::routing::get;
use axum::{Json, Router};
use measure::Figure;
use shop::{BoardAsk, BoardYear, CityYears, Facts, FinishSheet, MeterAsk, RowSheet, WoodSheet};
use stock::Climate;

use crate::Counter;
use crate::answer::{Answer, beside};

pub(crate) fn routes() -> Router<Counter> {
    Router::new()
        .route("/api/facts", get(facts))
        .route("/api/woods/{key}", get(wood))
        .route("/api/woods/{key}/year", get(board_year))
        .route("/api/finishes/{key}", get(finish))
        .route("/api/glues/{key}", get(glue))
        .route("/api/air", get(air))
        .route("/api/meter", get(meter))
        .route("/api/cities", get(cities))
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

async fn finish(State(it): State<Counter>, Path(key): Path<String>) -> Answer<Json<FinishSheet>> {
    beside(move || it.shop.finish_sheet(&key)).await.map(Json)
}

async fn glue(State(it): State<Counter>, Path(key): Path<String>) -> Answer<Json<RowSheet>> {
    beside(move || it.shop.glue_sheet(&key)).await.map(Json)
}

async fn air(State(it): State<Counter>, Query(ask): Query<Climate>) -> Answer<Json<Figure>> {
    beside(move || it.shop.air(ask)).await.map(Json)
}

async fn meter(State(it): State<Counter>, Query(ask): Query<MeterAsk>) -> Answer<Json<Figure>> {
    beside(move || it.shop.meter(&ask)).await.map(Json)
}

async fn cities(State(it): State<Counter>) -> Json<CityYears> {
    Json(it.shop.cities())
}
