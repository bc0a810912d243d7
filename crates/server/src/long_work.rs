//! Long work: started, watched while it goes on, stopped.

use std::collections::BTreeMap;
use std::convert::Infallible;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use axum::extract::{DefaultBodyLimit, Path, Query, State};
use axum::http::StatusCode;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::routing::{get, post};
use axum::{Json, Router};
use measure::Problem;
use shop::{FarPhotoAsk, PhotoAsk, Shop, Task, TaskEvent, TaskId, TaskResult, TraceAsk, Trouble};
use stock::{JobId, Layout, PieceId};
use tokio::sync::watch;
use tokio_stream::wrappers::WatchStream;
use tokio_stream::{Stream, StreamExt};

use crate::answer::{Answer, File, Refusal, crash};
use crate::documents::Question;
use crate::{Counter, LARGEST_BODY};

/// How many finished tasks can still be asked about.
const REMEMBERED: usize = 50;
/// How many may run at once; they use both cores as it is.
const AT_ONCE: usize = 4;
/// How soon a page learns of a change that another program has made.
const LOOK_EVERY: Duration = Duration::from_millis(700);

/// All long work of this server.
#[derive(Default)]
pub(crate) struct LongWork {
    last: AtomicU32,
    tasks: Mutex<BTreeMap<TaskId, Running>>,
}

#[derive(Clone)]
struct Running {
    news: watch::Receiver<TaskEvent>,
    stop: Arc<AtomicBool>,
}

/// What the work itself holds.
struct Report {
    news: watch::Sender<TaskEvent>,
    stop: Arc<AtomicBool>,
}

impl Report {
    fn tell(&self, label: &str, share: f64, best: Option<&Layout>) {
        let share = if share.is_finite() { share.clamp(0.0, 1.0) } else { 0.0 };
        let _ = self.news.send(TaskEvent::Progress { label: label.to_owned(), share, best: best.cloned() });
    }

    fn is_stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }
}

type Outcome = Result<(TaskResult, Vec<Problem>), Trouble>;

impl LongWork {
    fn start(&self, work: impl FnOnce(&Report) -> Outcome + Send + 'static) -> Answer<Json<Task>> {
        let begun = TaskEvent::Progress { label: "starting".to_owned(), share: 0.0, best: None };
        let (news, seen) = watch::channel(begun);
        let stop = Arc::new(AtomicBool::new(false));
        let id = self.enter(Running { news: seen, stop: Arc::clone(&stop) })?;
        tokio::task::spawn_blocking(move || {
            let report = Report { news, stop };
            let end = match catch_unwind(AssertUnwindSafe(|| work(&report))) {
                Ok(Ok((result, problems))) => TaskEvent::Done { result, problems },
                Ok(Err(trouble)) => TaskEvent::Failed { problem: trouble.problem().clone() },
                Err(_) => TaskEvent::Failed { problem: crash() },
            };
            let _ = report.news.send(end);
        });
        Ok(Json(Task { task: id }))
    }

    fn enter(&self, running: Running) -> Answer<TaskId> {
        let mut tasks = self.tasks.lock().unwrap_or_else(PoisonError::into_inner);
        let going = tasks.values().filter(|it| !has_ended(&it.news.borrow())).count();
        if going >= AT_ONCE {
            let problem = Problem::new(format!("{going} long tasks are running already"));
            return Err(Refusal(Trouble::Conflict(problem.hint("wait for one to end, or stop one"))));
        }
        let id = TaskId(self.last.fetch_add(1, Ordering::Relaxed) + 1);
        tasks.insert(id, running);
        while tasks.len() > REMEMBERED {
            let Some(oldest) = tasks.iter().find(|(_, it)| has_ended(&it.news.borrow())).map(|(&id, _)| id)
            else {
                break;
            };
            tasks.remove(&oldest);
        }
        Ok(id)
    }

    fn find(&self, id: TaskId) -> Answer<Running> {
        let tasks = self.tasks.lock().unwrap_or_else(PoisonError::into_inner);
        let missing = || Refusal(Trouble::Missing(Problem::new(format!("there is no task {id}"))));
        tasks.get(&id).cloned().ok_or_else(missing)
    }
}

fn has_ended(event: &TaskEvent) -> bool {
    match event {
        TaskEvent::Progress { .. } => false,
        TaskEvent::Done { .. } | TaskEvent::Failed { .. } => true,
    }
}

pub(crate) fn routes() -> Router<Counter> {
    Router::new()
        .route("/api/events", get(changes))
        .route("/api/pieces/photo", post(photo).layer(DefaultBodyLimit::max(LARGEST_BODY)))
        .route("/api/pieces/{id}/far-photo", post(far_photo).layer(DefaultBodyLimit::max(LARGEST_BODY)))
        .route("/api/patterns/trace", post(trace).layer(DefaultBodyLimit::max(LARGEST_BODY)))
        .route("/api/jobs/{id}/plan", post(plan).get(crate::jobs::plan))
        .route("/api/demo", post(demo))
        .route("/api/tasks/{id}/events", get(events))
        .route("/api/tasks/{id}/stop", post(stop))
}

async fn photo(
    State(it): State<Counter>,
    Query(question): Query<Question>,
    File(picture): File,
) -> Answer<Json<Task>> {
    let ask: PhotoAsk = question.read()?;
    it.work.start(move |report| {
        let told = |label: &str, share: f64| report.tell(label, share, None);
        let (piece, problems) =
            it.shop.add_piece_from_photo(ask, &picture, &told, &|| report.is_stopped())?;
        Ok((TaskResult::Piece(piece.id), problems))
    })
}

async fn far_photo(
    State(it): State<Counter>,
    Path(id): Path<PieceId>,
    Query(question): Query<Question>,
    File(picture): File,
) -> Answer<Json<Task>> {
    let ask: FarPhotoAsk = question.read()?;
    it.shop.piece(id)?;
    it.work.start(move |report| {
        let told = |label: &str, share: f64| report.tell(label, share, None);
        let stop = || report.is_stopped();
        let (piece, problems) = it.shop.add_far_face_from_photo(id, &ask, &picture, &told, &stop)?;
        Ok((TaskResult::Piece(piece.id), problems))
    })
}

async fn trace(
    State(it): State<Counter>,
    Query(question): Query<Question>,
    File(picture): File,
) -> Answer<Json<Task>> {
    let ask: TraceAsk = question.read()?;
    it.work.start(move |report| {
        let told = |label: &str, share: f64| report.tell(label, share, None);
        let (pattern, problems) =
            it.shop.add_pattern_from_photo(ask, &picture, &told, &|| report.is_stopped())?;
        Ok((TaskResult::Pattern(pattern.id), problems))
    })
}

async fn plan(State(it): State<Counter>, Path(id): Path<JobId>) -> Answer<Json<Task>> {
    it.shop.job(id)?;
    it.work.start(move |report| {
        it.shop
            .plan_job(id, &|label, share, best| report.tell(label, share, best), &|| report.is_stopped())?;
        Ok((TaskResult::Plan(id), Vec::new()))
    })
}

async fn demo(State(it): State<Counter>) -> Answer<Json<Task>> {
    it.work.start(move |report| {
        let job = it.shop.load_demo(&|label, share| report.tell(label, share, None))?;
        Ok((TaskResult::Plan(job), Vec::new()))
    })
}

async fn stop(State(it): State<Counter>, Path(id): Path<TaskId>) -> Answer<StatusCode> {
    it.work.find(id)?.stop.store(true, Ordering::Relaxed);
    Ok(StatusCode::NO_CONTENT)
}

type Events<S> = Sse<axum::response::sse::KeepAliveStream<S>>;

async fn events(
    State(it): State<Counter>,
    Path(id): Path<TaskId>,
) -> Answer<Events<impl Stream<Item = Result<Event, Infallible>>>> {
    let news = WatchStream::new(it.work.find(id)?.news);
    // The stream goes on until the work drops its end, after the last event.
    let told = news.map(|event| Ok(json(&event)));
    Ok(Sse::new(told).keep_alive(KeepAlive::default()))
}

async fn changes(State(it): State<Counter>) -> Events<impl Stream<Item = Result<Event, Infallible>>> {
    let mut seen = None;
    let every = tokio_stream::wrappers::IntervalStream::new(tokio::time::interval(LOOK_EVERY));
    let told = every.filter_map(move |_| {
        let now = version(&it.shop)?;
        let changed = seen != Some(now);
        seen = Some(now);
        changed.then(|| Ok(json(&serde_json::json!({ "version": now }))))
    });
    Sse::new(told).keep_alive(KeepAlive::default())
}

fn version(shop: &Shop) -> Option<u32> {
    shop.version().ok()
}

fn json(it: &impl serde::Serialize) -> Event {
    Event::default().json_data(it).unwrap_or_default()
}
