//! The wire, asked as a browser would.

mod photographs;

use std::path::PathBuf;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode, header};
use serde_json::Value;
use shop::Shop;
use tower::ServiceExt;

use crate::routes;

/// A server on an empty shop in a folder of its own.
fn server(name: &str) -> Router {
    let folder: PathBuf = std::env::temp_dir().join(format!("treen-server-{name}-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    routes(Shop::open(&folder).unwrap())
}

async fn ask(server: &Router, method: &str, path: &str, body: impl Into<Body>) -> (StatusCode, Value) {
    let request = Request::builder()
        .method(method)
        .uri(path)
        .header(header::CONTENT_TYPE, "application/json")
        .body(body.into())
        .unwrap();
    let answer = server.clone().oneshot(request).await.unwrap();
    let status = answer.status();
    let bytes = to_bytes(answer.into_body(), 1 << 24).await.unwrap();
    (status, serde_json::from_slice(&bytes).unwrap_or(Value::Null))
}

const PLANK: &str = r#"{"name":"Plank","species":"hard_maple","form":"plank","length":900,"width":200,"thickness":28,"price":null}"#;

#[tokio::test]
async fn a_change_shows_in_the_next_look() {
    let server = server("look");
    let (status, shop) = ask(&server, "GET", "/api/shop", Body::empty()).await;
    assert_eq!((status, shop["version"].as_u64()), (StatusCode::OK, Some(0)));
    let (status, piece) = ask(&server, "POST", "/api/pieces", PLANK).await;
    assert_eq!((status, piece["id"].as_u64()), (StatusCode::OK, Some(1)));
    let (_, shop) = ask(&server, "GET", "/api/shop", Body::empty()).await;
    assert_eq!(shop["undo"], "bring in Plank");
    let (_, shop) = ask(&server, "POST", "/api/undo", Body::empty()).await;
    assert_eq!(shop["pieces"].as_array().map(Vec::len), Some(0));
    let (_, shop) = ask(&server, "POST", "/api/redo", Body::empty()).await;
    assert_eq!(shop["pieces"][0]["name"], "Plank");
}

#[tokio::test]
async fn two_pages_do_not_write_over_each_other() {
    let server = server("two");
    let (_, piece) = ask(&server, "POST", "/api/pieces", PLANK).await;
    let put = async |seen: &str| {
        let request = Request::put("/api/pieces/1")
            .header(header::CONTENT_TYPE, "application/json")
            .header("x-seen-version", seen)
            .body(Body::from(piece.to_string()))
            .unwrap();
        server.clone().oneshot(request).await.unwrap().status()
    };
    assert_eq!(put("1").await, StatusCode::OK, "the newest was seen");
    assert_eq!(put("1").await, StatusCode::CONFLICT, "the first change was not");
    assert_eq!(put("2").await, StatusCode::OK);
    assert_eq!(put("many").await, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn trouble_has_a_status_and_words() {
    let server = server("trouble");
    let cases = [
        ("POST", "/api/pieces", "{\"name\":", StatusCode::UNPROCESSABLE_ENTITY),
        ("POST", "/api/pieces", "{\"name\":5}", StatusCode::UNPROCESSABLE_ENTITY),
        ("PUT", "/api/jobs/9", "{}", StatusCode::UNPROCESSABLE_ENTITY),
        ("DELETE", "/api/pieces/9", "", StatusCode::NOT_FOUND),
        ("GET", "/api/jobs/9/plan", "", StatusCode::NOT_FOUND),
        ("GET", "/api/nothing", "", StatusCode::NOT_FOUND),
        ("GET", "/api/pictures/..%2Fshop.sqlite", "", StatusCode::NOT_FOUND),
        ("GET", "/api/tasks/3/events", "", StatusCode::NOT_FOUND),
        ("POST", "/api/patterns/drawing?ask=%7B%7D", "<svg/>", StatusCode::UNPROCESSABLE_ENTITY),
        (
            "POST",
            "/api/patterns/outline",
            r#"{"family":"round","diameter":-3}"#,
            StatusCode::UNPROCESSABLE_ENTITY,
        ),
    ];
    for (method, path, body, expected) in cases {
        let (status, told) = ask(&server, method, path, body).await;
        assert_eq!(status, expected, "{method} {path}: {told}");
        assert!(told["message"].as_str().is_some_and(|it| !it.is_empty()), "{method} {path}: {told}");
    }
}

#[tokio::test]
async fn a_page_from_elsewhere_changes_nothing() {
    let server = server("elsewhere");
    for (origin, expected) in [
        ("http://shop.local:7420", StatusCode::OK),
        ("http://elsewhere.example", StatusCode::CONFLICT),
        ("null", StatusCode::CONFLICT),
    ] {
        let request = Request::post("/api/pieces")
            .header(header::HOST, "shop.local:7420")
            .header(header::ORIGIN, origin)
            .header(header::CONTENT_TYPE, "application/json")
            .body(Body::from(PLANK))
            .unwrap();
        let answer = server.clone().oneshot(request).await.unwrap();
        assert_eq!(answer.status(), expected, "{origin}");
    }
}

#[tokio::test]
async fn a_public_name_that_leads_here_reads_nothing() {
    let server = server("rebound");
    for (host, expected) in
        [("127.0.0.1:7420", StatusCode::OK), ("elsewhere.example:7420", StatusCode::CONFLICT)]
    {
        let request = Request::get("/api/shop").header(header::HOST, host).body(Body::empty()).unwrap();
        assert_eq!(server.clone().oneshot(request).await.unwrap().status(), expected, "{host}");
    }
}

#[tokio::test]
async fn a_body_that_is_too_large_is_refused() {
    let server = server("large");
    let body = vec![b'x'; crate::LARGEST_BODY + 1];
    let (status, told) =
        ask(&server, "POST", "/api/patterns/trace?ask=%7B%22name%22:%22Leaf%22,%22length%22:null%7D", body)
            .await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(told["hint"].as_str().is_some_and(|it| it.contains("60 MB")), "{told}");
    let body = vec![b' '; crate::LARGEST_DOCUMENT + 1];
    let (status, told) = ask(&server, "POST", "/api/pieces", body).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{told}");
}

/// Wood Handbook FPL-GTR-190 (2010), table 13-5: hard maple moves by 0.00353 of
/// its width for each 1 % along the rings, by 0.00165 across them.
#[tokio::test]
async fn a_year_moves_a_board_by_the_printed_coefficients() {
    let server = server("year");
    let year = async |rings: &str| {
        let path = format!("/api/woods/hard_maple/year?width=300&rings={rings}&room=heated_kitchen");
        let (status, told) = ask(&server, "GET", &path, Body::empty()).await;
        assert_eq!(status, StatusCode::OK, "{told}");
        let number = |season: &str, key: &str| told[season][key].as_f64().unwrap();
        let points = number("summer", "moisture") - number("winter", "moisture");
        let grows = number("summer", "width") - number("winter", "width");
        assert!((grows - told["swing"].as_f64().unwrap()).abs() < 1e-9);
        grows / 300.0 / points
    };
    for (rings, coefficient) in [("0", 0.00353), ("90", 0.00165), ("45", (0.00353 + 0.00165) / 2.0)] {
        let found = year(rings).await;
        assert!((found / coefficient - 1.0).abs() < 0.01, "{rings}: {found}");
    }
    for (bad, told_of) in
        [("width=0&rings=0&room=heated_kitchen", "width"), ("width=9&rings=91&room=heated_kitchen", "rings")]
    {
        let (status, told) =
            ask(&server, "GET", &format!("/api/woods/hard_maple/year?{bad}"), Body::empty()).await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(told["message"].as_str().unwrap().contains(told_of), "{told}");
    }
    let (_, told) =
        ask(&server, "GET", "/api/woods/hard_maple/year?width=9&rings=0&room=cave", Body::empty()).await;
    assert!(told["hint"].as_str().unwrap().contains("heated_kitchen"), "{told}");
}

/// Wood Handbook FPL-GTR-282 (2021), table 4-2: 9.2 % at 70 °F and 50 %; FPL-GTR-190,
/// p. 13-3: half a percent more for wood that is 10 °F colder than the meter expects.
#[tokio::test]
async fn air_meter_and_towns_are_told() {
    let server = server("air");
    let (_, air) = ask(&server, "GET", "/api/air?temperature=21.1&humidity=50", Body::empty()).await;
    assert_eq!(air["value"], "9.2 %", "{air}");
    let meter = "/api/meter?reading=9&wood=15.4&set_for=21&species=-1";
    let (_, meter) = ask(&server, "GET", meter, Body::empty()).await;
    assert_eq!(meter["value"], "8.5 %", "{meter}");
    let (status, told) = ask(&server, "GET", "/api/air?temperature=21&humidity=120", Body::empty()).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{told}");
    let (_, cities) = ask(&server, "GET", "/api/cities", Body::empty()).await;
    let boston = cities["towns"].as_array().unwrap().iter().find(|it| it["name"] == "Boston, MA").unwrap();
    assert_eq!(boston["months"].as_array().map(Vec::len), Some(12));
}

#[tokio::test]
async fn every_other_path_is_the_page() {
    let server = server("page");
    let answer = server.clone().oneshot(Request::get("/").body(Body::empty()).unwrap()).await.unwrap();
    assert_eq!(answer.status(), StatusCode::OK);
    let tag = answer.headers()[header::ETAG].clone();
    assert!(answer.headers().contains_key(header::CONTENT_SECURITY_POLICY));
    let again = Request::get("/").header(header::IF_NONE_MATCH, tag).body(Body::empty()).unwrap();
    let answer = server.clone().oneshot(again).await.unwrap();
    assert_eq!(answer.status(), StatusCode::NOT_MODIFIED);
}

#[tokio::test]
async fn a_traced_line_is_made_smooth_without_its_photograph() {
    let server = server("fit");
    let line = r#"{"drawn":[[0,0],[100,0],[100,60],[0,60]],"corners":[[100,60]],"least_radius":3,"stray":2,"symmetric":false}"#;
    let (status, told) = ask(&server, "POST", "/api/patterns/fit", line).await;
    assert_eq!(status, StatusCode::OK, "{told}");
    assert_eq!(told["corners"], serde_json::json!([[100.0, 60.0]]));
    assert_eq!(told["offered"].as_array().map(Vec::len), Some(4));
    assert_eq!(told["figures"][1]["name"], "tightest bend");
    let (_, shop) = ask(&server, "GET", "/api/shop", Body::empty()).await;
    assert_eq!(shop["patterns"], serde_json::json!([]), "nothing is kept");
    for (broken, word) in [
        (line.replace("\"stray\":2", "\"stray\":-1"), "stray"),
        (line.replace("[[100,60]]", "[[500,60]]"), "from the line"),
        (line.replace(",[100,60],[0,60]", ""), "corners"),
    ] {
        let (status, told) = ask(&server, "POST", "/api/patterns/fit", broken).await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{told}");
        assert!(told["message"].as_str().is_some_and(|it| it.contains(word)), "{told}");
    }
}

#[tokio::test]
async fn wood_is_asked_for_a_pattern_and_uses_for_a_piece() {
    let server = server("suits");
    let (status, piece) = ask(&server, "POST", "/api/pieces", PLANK).await;
    assert_eq!(status, StatusCode::OK, "{piece}");
    let disc = r#"{"name":"Disc","family":{"family":"round","diameter":60}}"#;
    let (status, pattern) = ask(&server, "POST", "/api/patterns", disc).await;
    assert_eq!(status, StatusCode::OK, "{pattern}");
    let (status, told) = ask(&server, "POST", "/api/patterns/1/suits", r#"{"thickness":12}"#).await;
    assert_eq!((status, &told["suits"][0]["piece"]), (StatusCode::OK, &piece["id"]), "{told}");
    let (_, told) = ask(&server, "POST", "/api/patterns/1/suits", r#"{"thickness":500}"#).await;
    assert_eq!(told["too_thin"], 1);
    let (status, told) = ask(&server, "GET", "/api/pieces/1/uses", Body::empty()).await;
    assert_eq!((status, &told["uses"][0]["pattern"]), (StatusCode::OK, &pattern["id"]), "{told}");
    let (_, shop) = ask(&server, "GET", "/api/shop", Body::empty()).await;
    assert_eq!(shop["jobs"], serde_json::json!([]), "nothing is kept");
    for (method, path, body, expected) in [
        ("POST", "/api/patterns/1/suits", r#"{"thickness":0}"#, StatusCode::UNPROCESSABLE_ENTITY),
        ("POST", "/api/patterns/1/suits", r#"{"thickness":null}"#, StatusCode::UNPROCESSABLE_ENTITY),
        ("POST", "/api/patterns/7/suits", r#"{"thickness":12}"#, StatusCode::NOT_FOUND),
        ("GET", "/api/pieces/7/uses", "", StatusCode::NOT_FOUND),
    ] {
        let (status, told) = ask(&server, method, path, body).await;
        assert_eq!(status, expected, "{path} {body}: {told}");
        assert!(told["message"].is_string(), "{told}");
    }
}

#[tokio::test]
async fn the_wood_of_a_job_is_sawn_over_the_wire() {
    let server = server("sawing");
    ask(&server, "POST", "/api/pieces", PLANK).await;
    let board = r#"{"name":"Board","family":{"family":"rectangle","length":300,"width":150,"corner":10}}"#;
    ask(&server, "POST", "/api/patterns", board).await;
    let (_, mut job) = ask(&server, "POST", "/api/jobs", r#"{"name":"Supper","due":"2190-06-01"}"#).await;
    job["wants"] = serde_json::json!([{
        "id": 1, "pattern": 1, "count": 1, "thickness": 19, "source": {"of": "pieces"}, "worth": 1,
    }]);
    let (status, told) = ask(&server, "PUT", "/api/jobs/1", job.to_string()).await;
    assert_eq!(status, StatusCode::OK, "{told}");
    for (method, path, expected, word) in [
        ("GET", "/api/jobs/1/sawing", StatusCode::NOT_FOUND, "no plan yet"),
        ("POST", "/api/jobs/1/sawing", StatusCode::NOT_FOUND, "no plan yet"),
        ("POST", "/api/jobs/9/sawing", StatusCode::NOT_FOUND, "no job 9"),
    ] {
        let (status, told) = ask(&server, method, path, Body::empty()).await;
        assert_eq!(status, expected, "{told}");
        assert!(told["message"].as_str().is_some_and(|it| it.contains(word)), "{told}");
    }
    let (_, task) = ask(&server, "POST", "/api/jobs/1/plan", Body::empty()).await;
    let event = photographs::end_of(&server, &task).await;
    assert_eq!(event["event"], "done", "{event}");

    let (status, before) = ask(&server, "GET", "/api/jobs/1/sawing", Body::empty()).await;
    assert_eq!((status, &before["pieces"]), (StatusCode::OK, &serde_json::json!([1])), "{before}");
    let (status, after) = ask(&server, "POST", "/api/jobs/1/sawing", Body::empty()).await;
    assert_eq!((status, &after), (StatusCode::OK, &before));
    let (_, shop) = ask(&server, "GET", "/api/shop", Body::empty()).await;
    assert_eq!(shop["pieces"][0]["sawn"]["leftovers"], serde_json::json!([2]));
    assert_eq!(shop["pieces"][1]["name"], "Plank, offcut 1");
    assert_eq!(shop["jobs"][0]["plan"]["stale"], false);
    assert_eq!(shop["jobs"][0]["sawn"], shop["today"]);
    let (status, told) = ask(&server, "POST", "/api/jobs/1/sawing", Body::empty()).await;
    assert_eq!(status, StatusCode::CONFLICT, "{told}");
    let (_, task) = ask(&server, "POST", "/api/jobs/1/plan", Body::empty()).await;
    let event = photographs::end_of(&server, &task).await;
    assert!(event["problem"]["hint"].as_str().is_some_and(|it| it.contains("undo")), "{event}");
    let (_, shop) = ask(&server, "POST", "/api/undo", Body::empty()).await;
    assert_eq!(shop["pieces"].as_array().map(Vec::len), Some(1));
}
