//! Photographs of wood over the wire: measured, stopped, answered, mended.

use std::time::Duration;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode};
use serde_json::{Value, json};
use tower::ServiceExt;

use super::{PLANK, ask, server};

const SLAB: &[u8] = include_bytes!("../../../../assets/demo/walnut-slab.jpg");

/// A question written behind a path.
fn asked(path: &str, question: &Value) -> String {
    let mut written = String::new();
    for byte in question.to_string().bytes() {
        written.push_str(&format!("%{byte:02X}"));
    }
    format!("{path}?ask={written}")
}

fn photo_ask() -> Value {
    json!({
        "name": "Slab", "species": "black_walnut", "form": "slab", "thickness": 40,
        "sheets": "on_bench", "check_line": null,
    })
}

/// The last event of a task, once it has ended.
pub(super) async fn end_of(server: &Router, task: &Value) -> Value {
    let path = format!("/api/tasks/{}/events", task["task"]);
    let request = Request::get(path).body(Body::empty()).unwrap();
    let answer = server.clone().oneshot(request).await.unwrap();
    let told = tokio::time::timeout(Duration::from_secs(240), to_bytes(answer.into_body(), 1 << 24));
    let told = String::from_utf8(told.await.unwrap().unwrap().to_vec()).unwrap();
    let last = told.lines().rfind(|it| it.starts_with("data: ")).unwrap();
    serde_json::from_str(&last["data: ".len()..]).unwrap()
}

async fn the_piece(server: &Router) -> Value {
    ask(server, "GET", "/api/shop", Body::empty()).await.1["pieces"][0].clone()
}

fn square(x: f64, y: f64) -> Value {
    json!([[x, y], [x + 20.0, y], [x + 20.0, y + 20.0], [x, y + 20.0]])
}

fn candidate(id: u32, kind: &str, x: f64, y: f64) -> Value {
    json!({"id": id, "kind": kind, "area": square(x, y), "sure": 0.6})
}

/// A plank that seems to have a knot and a check.
async fn doubtful(name: &str) -> Router {
    let server = server(name);
    let (_, mut piece) = ask(&server, "POST", "/api/pieces", PLANK).await;
    piece["face"]["candidates"] =
        json!([candidate(1, "knot", 100.0, 50.0), candidate(2, "check", 400.0, 50.0)]);
    let (status, _) = ask(&server, "PUT", "/api/pieces/1", piece.to_string()).await;
    assert_eq!(status, StatusCode::OK);
    server
}

async fn answer(server: &Router, candidate: u32, is: Value) -> (StatusCode, Value) {
    let body = json!([{"face": "near", "candidate": candidate, "is": is}]).to_string();
    ask(server, "POST", "/api/pieces/1/answers", body).await
}

#[tokio::test]
async fn a_confirmed_fault_is_a_zone_a_refused_one_is_gone_and_both_can_be_taken_back() {
    let server = doubtful("answers").await;
    let (status, piece) = answer(&server, 1, json!("knot")).await;
    assert_eq!(status, StatusCode::OK);
    let zone = &piece["face"]["zones"][0];
    assert_eq!((zone["kind"].as_str(), zone["through"].as_bool()), (Some("knot"), Some(true)));
    let (_, piece) = answer(&server, 2, Value::Null).await;
    assert_eq!(piece["face"]["candidates"], json!([]));
    assert_eq!(piece["face"]["zones"].as_array().map(Vec::len), Some(1));
    let (_, shop) = ask(&server, "GET", "/api/shop", Body::empty()).await;
    let told: Vec<&str> =
        shop["keenness"].as_array().unwrap().iter().filter_map(|it| it["told"].as_str()).collect();
    assert!(told[0].starts_with("of 1 knot that photographs seemed to show, 1 was a fault"), "{told:?}");
    assert!(told[1].starts_with("of 1 check that photographs seemed to show, 0 were faults"), "{told:?}");
    assert_eq!(answer(&server, 2, Value::Null).await.0, StatusCode::NOT_FOUND, "answered already");

    let (_, shop) = ask(&server, "POST", "/api/undo", Body::empty()).await;
    assert_eq!(shop["pieces"][0]["face"]["candidates"].as_array().map(Vec::len), Some(1));
    assert_eq!(shop["keenness"].as_array().map(Vec::len), Some(1), "the answer is taken back too");
    let (status, _) = ask(&server, "DELETE", "/api/answers/knot", Body::empty()).await;
    assert_eq!(status, StatusCode::NO_CONTENT);
    let (_, shop) = ask(&server, "GET", "/api/shop", Body::empty()).await;
    assert_eq!(shop["keenness"], json!([]));
}

#[tokio::test]
async fn several_answers_are_one_change_and_a_wrong_one_among_them_leaves_all() {
    let server = doubtful("several").await;
    let answers = |second: u32| {
        json!([
            {"face": "near", "candidate": 1, "is": "hole"},
            {"face": "near", "candidate": second, "is": null},
        ])
    };
    let (status, _) = ask(&server, "POST", "/api/pieces/1/answers", answers(1).to_string()).await;
    assert_eq!(status, StatusCode::NOT_FOUND, "the same one twice");
    let (_, piece) = ask(&server, "POST", "/api/pieces/1/answers", answers(2).to_string()).await;
    assert_eq!(piece["face"]["candidates"], json!([]));
    assert_eq!(piece["face"]["zones"].as_array().map(Vec::len), Some(1));
    let (_, shop) = ask(&server, "GET", "/api/shop", Body::empty()).await;
    assert!(shop["undo"].as_str().unwrap().starts_with("answer for 2 faults of"), "{}", shop["undo"]);
    let (_, shop) = ask(&server, "POST", "/api/undo", Body::empty()).await;
    assert_eq!(shop["pieces"][0]["face"]["candidates"].as_array().map(Vec::len), Some(2));
}

#[tokio::test]
async fn candidates_out_of_range_and_strokes_without_a_picture_are_refused() {
    let server = doubtful("doubts").await;
    let mut piece = the_piece(&server).await;
    piece["face"]["candidates"][0]["sure"] = json!(1.4);
    let (status, told) = ask(&server, "PUT", "/api/pieces/1", piece.to_string()).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{told}");
    piece["face"]["candidates"] = json!([candidate(3, "knot", 0.0, 0.0), candidate(3, "knot", 9.0, 0.0)]);
    let (status, told) = ask(&server, "PUT", "/api/pieces/1", piece.to_string()).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{told}");
    let strokes = json!({"face": "near", "strokes": [{"wood": true, "line": [[0, 0], [9, 9]]}]}).to_string();
    let (status, told) = ask(&server, "POST", "/api/pieces/1/edge", strokes.clone()).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(told["message"].as_str().unwrap().contains("no picture"), "{told}");
    let far = strokes.replace("near", "far");
    let (_, told) = ask(&server, "POST", "/api/pieces/1/edge", far).await;
    assert!(told["message"].as_str().unwrap().contains("never photographed"), "{told}");
}

#[tokio::test]
async fn a_far_face_is_laid_by_its_marks_and_its_faults_go_through() {
    let server = server("far");
    let (_, mut piece) = ask(&server, "POST", "/api/pieces", PLANK).await;
    let mut face = piece["face"].clone();
    face["zones"] =
        json!([{"id": 1, "kind": "knot", "area": square(100.0, 130.0), "through": true, "note": ""}]);
    piece["face"]["zones"] =
        json!([{"id": 1, "kind": "knot", "area": square(105.0, 52.0), "through": false, "note": ""}]);
    // Whatever a page says of how it lies, the shop finds for itself.
    let lies = json!({"place": {"at": [5, 5], "turn": 0, "mirrored": false}, "miss": 0, "problem": null});
    piece["far_face"] = json!({"face": face, "lies": lies, "marks": []});
    let (status, told) = ask(&server, "PUT", "/api/pieces/1", piece.to_string()).await;
    assert_eq!(status, StatusCode::OK, "{told}");
    let doubt = told["far_face"]["lies"]["problem"]["message"].as_str();
    assert!(doubt.unwrap().contains("whichever way"), "a bare plank looks the same: {told}");
    // Turned over about its length: the width is 200 mm.
    piece["far_face"]["marks"] =
        json!([{"near": [0, 0], "far": [0, 200]}, {"near": [900, 200], "far": [900, 0]}]);
    let (_, told) = ask(&server, "PUT", "/api/pieces/1", piece.to_string()).await;
    assert_eq!(told["far_face"]["lies"]["problem"], Value::Null);
    assert!(told["far_face"]["lies"]["miss"].as_f64().unwrap() < 1e-6);
    assert_eq!(told["face"]["zones"][0]["through"], true, "seen on both faces");
    assert_eq!(told["far_face"]["face"]["zones"][0]["through"], true);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_measuring_that_is_stopped_leaves_nothing() {
    let server = server("stopped");
    let (status, task) = ask(&server, "POST", &asked("/api/pieces/photo", &photo_ask()), SLAB).await;
    assert_eq!(status, StatusCode::OK, "{task}");
    let (status, _) = ask(&server, "POST", &format!("/api/tasks/{}/stop", task["task"]), Body::empty()).await;
    assert_eq!(status, StatusCode::NO_CONTENT);
    let end = end_of(&server, &task).await;
    assert_eq!(end["event"], "failed");
    assert!(end["problem"]["message"].as_str().unwrap().contains("stopped"), "{end}");
    let (_, shop) = ask(&server, "GET", "/api/shop", Body::empty()).await;
    assert_eq!((shop["pieces"].clone(), shop["undo"].clone()), (json!([]), Value::Null));
}

#[tokio::test(flavor = "multi_thread")]
async fn the_photograph_is_kept_the_edge_can_be_mended_and_the_far_face_added() {
    let server = server("photographed");
    let (_, task) = ask(&server, "POST", &asked("/api/pieces/photo", &photo_ask()), SLAB).await;
    let end = end_of(&server, &task).await;
    assert_eq!(end["event"], "done", "{end}");
    let piece = the_piece(&server).await;
    let original = piece["face"]["picture"]["original"].as_str().unwrap();
    let request = Request::get(format!("/api/pictures/{original}")).body(Body::empty()).unwrap();
    let kept = server.clone().oneshot(request).await.unwrap();
    assert_eq!(to_bytes(kept.into_body(), 1 << 26).await.unwrap(), SLAB);

    // A stroke of bench across the slab's end takes wood away near it, and only there.
    let outer = piece["face"]["outline"]["outer"].as_array().unwrap().clone();
    let right = outer.iter().map(|it| it[0].as_f64().unwrap()).fold(0.0, f64::max);
    let line: Vec<Value> = (0..30).map(|it| json!([right - 10.0, 60.0 + 8.0 * f64::from(it)])).collect();
    let strokes = json!({"face": "near", "strokes": [{"wood": false, "line": line}]}).to_string();
    let (status, mended) = ask(&server, "POST", "/api/pieces/1/edge", strokes).await;
    assert_eq!(status, StatusCode::OK, "{mended}");
    assert_ne!(mended["face"]["outline"], piece["face"]["outline"]);
    let (_, shop) = ask(&server, "POST", "/api/undo", Body::empty()).await;
    assert_eq!(shop["pieces"][0]["face"]["outline"], piece["face"]["outline"]);

    let far = json!({"sheets": "on_bench", "check_line": null});
    let (_, task) = ask(&server, "POST", &asked("/api/pieces/1/far-photo", &far), SLAB).await;
    let end = end_of(&server, &task).await;
    assert_eq!((end["event"].as_str(), &end["result"]["id"]), (Some("done"), &json!(1)), "{end}");
    let piece = the_piece(&server).await;
    assert_eq!(piece["far_face"]["lies"]["place"]["mirrored"], true);
    assert_eq!(piece["far_face"]["face"]["picture"]["original"].as_str(), Some(original));
    let (_, shop) = ask(&server, "GET", "/api/shop", Body::empty()).await;
    assert_eq!(shop["undo"], "photograph the other face of Slab");
}
