//! Jobs: wanted, planned, mended, printed, done.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post, put};
use axum::{Json, Router};
use shop::{BenchView, HandRules, NewJob, PlanView, Sawing, ShopView, Tick, Verdict};
use stock::{Change, Job, JobId, Pin};

use crate::Counter;
use crate::answer::{Answer, Asked, Seen, beside};
use crate::documents::pdf;

pub(crate) fn routes() -> Router<Counter> {
    Router::new()
        .route("/api/jobs", post(add))
        .route("/api/jobs/{id}", put(change).delete(remove))
        .route("/api/jobs/{id}/mend", post(mend))
        .route("/api/jobs/{id}/packet.pdf", get(packet))
        .route("/api/jobs/{id}/sawing", get(sawing).post(saw))
        .route("/api/jobs/{id}/bench", get(bench).put(tick))
        .route("/api/jobs/{id}/hand", get(hand))
        .route("/api/jobs/{id}/verdict", post(verdict))
}

async fn add(State(it): State<Counter>, Asked(ask): Asked<NewJob>) -> Answer<Json<Job>> {
    beside(move || it.shop.add_job(ask)).await.map(Json)
}

async fn change(
    State(it): State<Counter>,
    Path(id): Path<JobId>,
    Seen(seen): Seen,
    Asked(job): Asked<Job>,
) -> Answer<Json<Job>> {
    let job = Job { id, ..job };
    beside(move || it.shop.put_job(&job, seen).map(|()| job)).await.map(Json)
}

async fn remove(State(it): State<Counter>, Path(id): Path<JobId>) -> Answer<StatusCode> {
    beside(move || it.shop.remove_job(id)).await.map(|()| StatusCode::NO_CONTENT)
}

pub(crate) async fn plan(State(it): State<Counter>, Path(id): Path<JobId>) -> Answer<Json<PlanView>> {
    beside(move || it.shop.plan(id)).await.map(Json)
}

async fn mend(
    State(it): State<Counter>,
    Path(id): Path<JobId>,
    Asked(change): Asked<Change>,
) -> Answer<Json<ShopView>> {
    beside(move || it.shop.mend(id, &change).and_then(|()| it.shop.view())).await.map(Json)
}

async fn packet(State(it): State<Counter>, Path(id): Path<JobId>) -> Answer<Response> {
    let bytes = beside(move || it.shop.packet(id)).await?;
    Ok(pdf(&format!("packet-{id}.pdf"), bytes))
}

async fn hand(State(it): State<Counter>, Path(id): Path<JobId>) -> Answer<Json<HandRules>> {
    beside(move || it.shop.hand_rules(id)).await.map(Json)
}

async fn verdict(
    State(it): State<Counter>,
    Path(id): Path<JobId>,
    Asked(held): Asked<Pin>,
) -> Answer<Json<Verdict>> {
    beside(move || it.shop.verdict(id, &held)).await.map(Json)
}

async fn sawing(State(it): State<Counter>, Path(id): Path<JobId>) -> Answer<Json<Sawing>> {
    beside(move || it.shop.sawing(id)).await.map(Json)
}

async fn saw(State(it): State<Counter>, Path(id): Path<JobId>) -> Answer<Json<Sawing>> {
    beside(move || it.shop.saw(id)).await.map(Json)
}

async fn bench(State(it): State<Counter>, Path(id): Path<JobId>) -> Answer<Json<BenchView>> {
    beside(move || it.shop.bench(id)).await.map(Json)
}

async fn tick(
    State(it): State<Counter>,
    Path(id): Path<JobId>,
    Asked(tick): Asked<Tick>,
) -> Answer<Json<BenchView>> {
    beside(move || it.shop.tick(id, &tick)).await.map(Json)
}
