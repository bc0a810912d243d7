//! How the shop's answers and troubles go over the wire.

use axum::Json;
use axum::body::Bytes;
use axum::extract::rejection::{BytesRejection, JsonRejection};
use axum::extract::{FromRequest, FromRequestParts, Request};
use axum::http::StatusCode;
use axum::http::request::Parts;
use axum::response::{IntoResponse, Response};
use measure::Problem;
use serde::de::DeserializeOwned;
use shop::Trouble;

/// A trouble, as status and message.
pub(crate) struct Refusal(pub(crate) Trouble);

/// What every answer is: what was asked for, or a refusal.
pub(crate) type Answer<T> = Result<T, Refusal>;

impl From<Trouble> for Refusal {
    fn from(it: Trouble) -> Refusal {
        Refusal(it)
    }
}

impl From<Problem> for Refusal {
    fn from(it: Problem) -> Refusal {
        Refusal(it.into())
    }
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let status = match &self.0 {
            Trouble::Input(_) => StatusCode::UNPROCESSABLE_ENTITY,
            Trouble::Missing(_) => StatusCode::NOT_FOUND,
            Trouble::Conflict(_) => StatusCode::CONFLICT,
            Trouble::Folder(_) => StatusCode::INTERNAL_SERVER_ERROR,
        };
        (status, Json(self.0.problem().clone())).into_response()
    }
}

/// A JSON body; a broken one is answered with what was expected and where.
pub(crate) struct Asked<T>(pub(crate) T);

impl<T: DeserializeOwned, S: Send + Sync> FromRequest<S> for Asked<T> {
    type Rejection = Refusal;

    async fn from_request(request: Request, state: &S) -> Result<Asked<T>, Refusal> {
        match Json::<T>::from_request(request, state).await {
            Ok(Json(it)) => Ok(Asked(it)),
            Err(why) => Err(broken(&why).into()),
        }
    }
}

/// A body that is no JSON, or not what was expected; the words without the
/// library's opening, which names no place.
fn broken(why: &JsonRejection) -> Problem {
    let told = why.body_text();
    let place = told.split_once(": ").map_or(told.as_str(), |(_, place)| place);
    let message = match why {
        JsonRejection::JsonSyntaxError(_) => format!("the request is no JSON: {place}"),
        JsonRejection::MissingJsonContentType(_) => "the request does not say that it is JSON".to_owned(),
        _ => format!("the request is not what was expected: {place}"),
    };
    Problem::new(message)
}

/// Names the version of the shop that a page had seen when it made a change.
const SEEN: &str = "x-seen-version";

/// The version of the shop that a change was made upon, if the asker says so.
pub(crate) struct Seen(pub(crate) Option<u32>);

impl<S: Send + Sync> FromRequestParts<S> for Seen {
    type Rejection = Refusal;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Seen, Refusal> {
        let Some(told) = parts.headers.get(SEEN) else { return Ok(Seen(None)) };
        match told.to_str().ok().and_then(|it| it.parse().ok()) {
            Some(version) => Ok(Seen(Some(version))),
            None => Err(Problem::new(format!("expected a whole number in {SEEN}")).into()),
        }
    }
}

/// The raw bytes of a picture or a drawing.
pub(crate) struct File(pub(crate) Bytes);

impl<S: Send + Sync> FromRequest<S> for File {
    type Rejection = Refusal;

    async fn from_request(request: Request, state: &S) -> Result<File, Refusal> {
        Bytes::from_request(request, state).await.map(File).map_err(|why: BytesRejection| {
            let problem = Problem::new(format!("the file cannot be read: {}", why.body_text()));
            problem.hint(format!("at most {} MB are taken", crate::LARGEST_BODY / 1024 / 1024)).into()
        })
    }
}

/// Runs work that may take longer than a moment beside the wire's own threads.
pub(crate) async fn beside<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, Trouble> + Send + 'static,
) -> Answer<T> {
    match tokio::task::spawn_blocking(work).await {
        Ok(done) => done.map_err(Refusal),
        Err(_) => Err(Refusal(Trouble::Input(crash()))),
    }
}

/// What the maker reads if a computation has crashed after all.
pub(crate) fn crash() -> Problem {
    Problem::new("this could not be worked out: the program met a case that it does not know")
        .hint("nothing was changed; try other values")
}
