//! The shop, its wood, its patterns: looked at and changed.

use axum::extract::{DefaultBodyLimit, Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{delete, get, post, put};
use axum::{Json, Router};
use measure::{Length, Problem};
use outline::{Family, Outline, Ring};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use shop::{
    Answer as FaultAnswer, EdgeAsk, NewPattern, NewPiece, Refit, ShopView, SuitAsk, Suits, TraceAsk, Uses,
};
use stock::{Paper, Pattern, PatternId, PictureId, Piece, PieceId, ShopKit, TracedLine, ZoneKind};

use crate::answer::{Answer, Asked, File, Seen, beside};
use crate::{Counter, LARGEST_BODY};

pub(crate) fn routes() -> Router<Counter> {
    Router::new()
        .route("/api/shop", get(view))
        .route("/api/kit", put(put_kit))
        .route("/api/pieces", post(add_piece))
        .route("/api/pieces/{id}", put(put_piece).delete(remove_piece))
        .route("/api/pieces/{id}/answers", post(answer))
        .route("/api/pieces/{id}/edge", post(mend_edge))
        .route("/api/pieces/{id}/uses", get(uses))
        .route("/api/answers/{kind}", delete(forget_answers))
        .route("/api/patterns", post(add_pattern))
        .route("/api/patterns/outline", post(preview))
        .route("/api/patterns/fit", post(refit))
        .route("/api/patterns/drawing", post(add_drawing).layer(DefaultBodyLimit::max(LARGEST_BODY)))
        .route("/api/patterns/{id}", put(put_pattern).delete(remove_pattern))
        .route("/api/patterns/{id}/body", get(body))
        .route("/api/patterns/{id}/suits", post(suits))
        .route("/api/pictures/{id}", get(picture))
        .route("/api/sheets.pdf", get(sheets))
        .route("/api/undo", post(undo))
        .route("/api/redo", post(redo))
}

/// A question in the address: `?ask={…}&file=…`.
#[derive(Deserialize)]
pub(crate) struct Question {
    ask: String,
    #[serde(default)]
    file: String,
}

impl Question {
    /// The question itself.
    pub(crate) fn read<T: DeserializeOwned>(&self) -> Result<T, Problem> {
        serde_json::from_str(&self.ask)
            .map_err(|it| Problem::new(format!("the request cannot be read: {it}")))
    }
}

async fn view(State(it): State<Counter>) -> Answer<Json<ShopView>> {
    beside(move || it.shop.view()).await.map(Json)
}

async fn put_kit(
    State(it): State<Counter>,
    Seen(seen): Seen,
    Asked(kit): Asked<ShopKit>,
) -> Answer<Json<ShopView>> {
    beside(move || it.shop.put_kit(&kit, seen).and_then(|()| it.shop.view())).await.map(Json)
}

async fn add_piece(State(it): State<Counter>, Asked(ask): Asked<NewPiece>) -> Answer<Json<Piece>> {
    beside(move || it.shop.add_piece(ask)).await.map(Json)
}

async fn put_piece(
    State(it): State<Counter>,
    Path(id): Path<PieceId>,
    Seen(seen): Seen,
    Asked(piece): Asked<Piece>,
) -> Answer<Json<Piece>> {
    let piece = Piece { id, ..piece };
    beside(move || it.shop.put_piece(piece, seen)).await.map(Json)
}

async fn remove_piece(State(it): State<Counter>, Path(id): Path<PieceId>) -> Answer<StatusCode> {
    beside(move || it.shop.remove_piece(id)).await.map(|()| StatusCode::NO_CONTENT)
}

async fn answer(
    State(it): State<Counter>,
    Path(id): Path<PieceId>,
    Asked(answers): Asked<Vec<FaultAnswer>>,
) -> Answer<Json<Piece>> {
    beside(move || it.shop.answer(id, &answers)).await.map(Json)
}

async fn mend_edge(
    State(it): State<Counter>,
    Path(id): Path<PieceId>,
    Asked(ask): Asked<EdgeAsk>,
) -> Answer<Json<Piece>> {
    beside(move || it.shop.mend_edge(id, &ask)).await.map(Json)
}

async fn forget_answers(State(it): State<Counter>, Path(kind): Path<ZoneKind>) -> Answer<StatusCode> {
    beside(move || it.shop.forget_answers(kind)).await.map(|()| StatusCode::NO_CONTENT)
}

async fn add_pattern(State(it): State<Counter>, Asked(ask): Asked<NewPattern>) -> Answer<Json<Pattern>> {
    beside(move || it.shop.add_pattern(ask)).await.map(Json)
}

async fn preview(Asked(family): Asked<Family>) -> Answer<Json<Outline>> {
    Ok(Json(family.outline()?))
}

async fn uses(State(it): State<Counter>, Path(id): Path<PieceId>) -> Answer<Json<Uses>> {
    beside(move || it.shop.uses(id)).await.map(Json)
}

async fn suits(
    State(it): State<Counter>,
    Path(id): Path<PatternId>,
    Asked(ask): Asked<SuitAsk>,
) -> Answer<Json<Suits>> {
    beside(move || it.shop.suits(id, ask)).await.map(Json)
}

async fn refit(State(it): State<Counter>, Asked(line): Asked<TracedLine>) -> Answer<Json<Refit>> {
    beside(move || it.shop.refit(&line)).await.map(Json)
}

async fn add_drawing(
    State(it): State<Counter>,
    Query(question): Query<Question>,
    File(svg): File,
) -> Answer<Json<Pattern>> {
    let ask: TraceAsk = question.read()?;
    beside(move || it.shop.add_pattern_from_drawing(ask, &question.file, &svg)).await.map(Json)
}

async fn put_pattern(
    State(it): State<Counter>,
    Path(id): Path<PatternId>,
    Seen(seen): Seen,
    Asked(pattern): Asked<Pattern>,
) -> Answer<Json<Pattern>> {
    let pattern = Pattern { id, ..pattern };
    beside(move || it.shop.put_pattern(&pattern, seen).map(|()| pattern)).await.map(Json)
}

async fn remove_pattern(State(it): State<Counter>, Path(id): Path<PatternId>) -> Answer<StatusCode> {
    beside(move || it.shop.remove_pattern(id)).await.map(|()| StatusCode::NO_CONTENT)
}

/// How far inside of the edge.
#[derive(Deserialize)]
struct Margin {
    margin: Length,
}

async fn body(
    State(it): State<Counter>,
    Path(id): Path<PatternId>,
    Query(ask): Query<Margin>,
) -> Answer<Json<Ring>> {
    beside(move || it.shop.body_of(id, ask.margin)).await.map(Json)
}

async fn picture(State(it): State<Counter>, Path(id): Path<PictureId>) -> Answer<Response> {
    let bytes = beside(move || it.shop.picture(&id)).await?;
    let kind = match bytes.as_slice() {
        [0x89, b'P', b'N', b'G', ..] => "image/png",
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => "image/webp",
        _ => "image/jpeg",
    };
    // A picture's name is the hash of what it holds: it never changes.
    let describe = [
        (header::CONTENT_TYPE, kind),
        (header::CACHE_CONTROL, "public, max-age=31536000, immutable"),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    ];
    Ok((describe, bytes).into_response())
}

#[derive(Deserialize)]
struct OnPaper {
    #[serde(default)]
    paper: Paper,
    /// How many sheets: one for each end, if not said.
    #[serde(default = "two")]
    sheets: u8,
}

fn two() -> u8 {
    2
}

async fn sheets(State(it): State<Counter>, Query(on): Query<OnPaper>) -> Answer<Response> {
    let bytes = beside(move || it.shop.scale_sheets(on.paper, on.sheets)).await?;
    Ok(pdf("scale-sheets.pdf", bytes))
}

/// A PDF that the browser may show or save.
pub(crate) fn pdf(name: &str, bytes: Vec<u8>) -> Response {
    let disposition = format!("inline; filename=\"{name}\"");
    let describe =
        [(header::CONTENT_TYPE, "application/pdf".to_owned()), (header::CONTENT_DISPOSITION, disposition)];
    (describe, bytes).into_response()
}

async fn undo(State(it): State<Counter>) -> Answer<Json<ShopView>> {
    beside(move || it.shop.undo().and_then(|_| it.shop.view())).await.map(Json)
}

async fn redo(State(it): State<Counter>) -> Answer<Json<ShopView>> {
    beside(move || it.shop.redo().and_then(|_| it.shop.view())).await.map(Json)
}
