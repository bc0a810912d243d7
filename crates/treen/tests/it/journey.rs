//! From a plank by measure to a packet, step by step on the command line.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Command, Stdio};

use crate::Bench;

fn day_from_now() -> &'static str {
    "2190-06-01"
}

#[test]
fn a_plank_becomes_a_packet() {
    let bench = Bench::new("journey");
    bench.plank("hard_maple", "40", "8", "1 1/8");
    bench.told(&["pattern", "rectangle", "Board", "--length", "15", "--width", "6 1/2", "--corner", "3/4"]);
    bench.told(&["job", "new", "Two boards", "--due", day_from_now()]);
    bench.told(&["job", "want", "1", "1", "--thickness", "3/4", "--count", "2"]);
    assert!(bench.refused(&["job", "packet", "1", "x.pdf"]).contains("has no plan yet"));
    let plan = bench.told(&["job", "plan", "1"]);
    assert!(plan.contains("Board 1 lies on Plank") && plan.contains("Board 2 lies on Plank"), "{plan}");
    let packet = bench.folder.join("packet.pdf");
    bench.told(&["job", "packet", "1", packet.to_str().unwrap()]);
    assert!(std::fs::read(&packet).unwrap().starts_with(b"%PDF"));

    let steps = bench.told(&["bench", "show", "1"]);
    let first = steps.lines().find(|line| line.contains("[ ]")).expect("there is a step");
    let key = first.rsplit_once('(').unwrap().1.trim_end_matches(')');
    assert!(bench.told(&["bench", "check", "1", key, "--note", "went well"]).contains("[x]"));

    bench.told(&["job", "want", "1", "1", "--thickness", "3/4"]);
    let told = bench.refused(&["job", "packet", "1", "x.pdf"]);
    assert!(told.contains("older than its wood"), "no paper from an old plan: {told}");
    bench.told(&["undo"]);
    bench.told(&["job", "packet", "1", packet.to_str().unwrap()]);
    bench.told(&["redo"]);
    bench.refused(&["job", "packet", "1", "x.pdf"]);
    assert!(bench.refused(&["rack", "remove", "9"]).contains("there is no piece 9"));
}

#[test]
fn what_is_left_of_a_plank_goes_back_on_the_rack() {
    let bench = Bench::new("leftovers");
    bench.plank("hard_maple", "40", "8", "1 1/8");
    bench.told(&["pattern", "rectangle", "Board", "--length", "15", "--width", "6 1/2", "--corner", "3/4"]);
    bench.told(&["job", "new", "One board", "--due", day_from_now()]);
    bench.told(&["job", "want", "1", "1", "--thickness", "3/4"]);
    assert!(bench.refused(&["job", "sawn", "1"]).contains("has no plan yet"));
    bench.told(&["job", "plan", "1"]);
    let told = bench.told(&["job", "sawn", "1"]);
    assert!(told.starts_with("1 piece is sawn; 1 leftover goes on the rack\n"), "{told}");
    assert!(told.contains("piece 2 is on the rack: Plank, offcut 1"), "{told}");
    let rack = bench.told(&["rack", "list"]);
    let (whole, sawn) = rack.split_once("sawn:").expect("what was sawn stands by itself");
    assert!(whole.contains("Plank, offcut 1") && sawn.contains("for One board"), "{rack}");
    assert!(bench.told(&["job", "list"]).contains("sawn on "));
    for again in [["job", "sawn", "1"], ["job", "plan", "1"]] {
        assert!(bench.refused(&again).contains("undo the sawing"));
    }
    assert!(bench.refused(&["rack", "uses", "1"]).contains("was sawn for “One board”"));
    let marked = bench.file("marked.json", bench.told(&["read", "piece", "1"]).as_bytes());
    assert!(bench.refused(&["write", "piece", marked.to_str().unwrap()]).contains("was sawn for"));
    let packet = bench.folder.join("packet.pdf");
    bench.told(&["job", "packet", "1", packet.to_str().unwrap()]);
    assert!(bench.told(&["undo"]).contains("saw the wood of One board"));
    assert!(!bench.told(&["rack", "list"]).contains("offcut"));
    bench.told(&["redo"]);
    assert!(bench.told(&["rack", "list"]).contains("Plank, offcut 1"));
}

#[test]
fn the_same_wishes_give_the_same_plan() {
    let plan = |name: &str| {
        let bench = Bench::new(name);
        bench.plank("black_cherry", "30", "9", "1");
        bench.told(&["pattern", "oval", "Oval", "--length", "11", "--width", "6"]);
        bench.told(&["job", "new", "Ovals", "--due", day_from_now()]);
        bench.told(&["job", "want", "1", "1", "--thickness", "5/8", "--count", "2"]);
        bench.told(&["job", "plan", "1"]);
        bench.told(&["read", "plan", "1"])
    };
    assert_eq!(plan("same-one"), plan("same-other"));
}

#[test]
fn nothing_is_lost_when_the_program_is_killed() {
    let bench = Bench::new("killed");
    let mut serving = Command::new(env!("CARGO_BIN_EXE_treen"))
        .args(["serve", "--port", "0", "--shop"])
        .arg(bench.shop())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    BufReader::new(serving.stdout.take().unwrap()).read_line(&mut line).unwrap();
    let host = line.trim().rsplit_once("http://").expect("an address").1.to_owned();
    for number in 1..=20 {
        let body = format!(
            "{{\"name\":\"Plank {number}\",\"species\":\"white_oak\",\"form\":\"plank\",\"length\":900.0,\
             \"width\":200.0,\"thickness\":25.0,\"price\":null}}"
        );
        let mut wire = TcpStream::connect(&host).unwrap();
        write!(
            wire,
            "POST /api/pieces HTTP/1.1\r\nHost: {host}\r\nContent-Type: application/json\r\n\
             Content-Length: {}\r\nConnection: close\r\n\r\n{body}",
            body.len()
        )
        .unwrap();
        let mut answer = String::new();
        wire.read_to_string(&mut answer).unwrap();
        assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    }
    // SIGKILL: the program gets no chance to tidy up.
    serving.kill().unwrap();
    serving.wait().unwrap();
    let rack = bench.told(&["rack", "list"]);
    assert!(rack.contains("Plank 1 ") && rack.contains("Plank 20"), "{rack}");
    assert!(bench.told(&["undo"]).contains("bring in Plank 20"));
}

#[test]
fn a_reader_that_has_gone_ends_the_command_quietly() {
    let bench = Bench::new("pipe");
    let mut command = Command::new(env!("CARGO_BIN_EXE_treen"));
    command.args(["undo", "--shop"]).arg(bench.shop());
    command.stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut running = command.spawn().unwrap();
    drop(running.stdout.take());
    let done = running.wait_with_output().unwrap();
    assert!(done.status.success() && done.stderr.is_empty(), "{}", String::from_utf8_lossy(&done.stderr));
}

#[test]
fn a_handle_is_looked_at_without_being_marked() {
    let bench = Bench::new("handle");
    bench.told(&[
        "pattern",
        "handled",
        "Paddle",
        "--length",
        "16",
        "--width",
        "6",
        "--handle-length",
        "5",
        "--handle-width",
        "1 3/8",
        "--corner",
        "1",
        "--neck",
        "1/2",
    ]);
    let pattern = bench.told(&["read", "pattern", "1"]);
    assert!(pattern.contains("\"stem\""), "{pattern}");
}
