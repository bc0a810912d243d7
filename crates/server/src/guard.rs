//! Keeps other people's pages out: a page from elsewhere that is open in the
//! same browser must not be able to read or change the shop.

use std::net::IpAddr;

use axum::extract::Request;
use axum::http::{HeaderMap, HeaderName, Method, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use measure::Problem;
use shop::Trouble;

use crate::answer::Refusal;

/// Endings of names that no public name server gives out: a page from elsewhere
/// cannot have one (RFC 6762, RFC 8375, and names that routers give).
const AT_HOME: [&str; 6] = [".local", ".localhost", ".home.arpa", ".internal", ".lan", ".home"];

/// Refuses whatever was not asked at an address of this machine, and a change
/// whose page did not come from this very address.
pub(crate) async fn same_origin(request: Request, next: Next) -> Response {
    if !is_at_home(request.headers()) {
        return refused("this request was made to a name that is not this machine's");
    }
    let reads = matches!(*request.method(), Method::GET | Method::HEAD);
    if reads || is_own(request.headers()) {
        return next.run(request).await;
    }
    refused("this request came from another site's page")
}

fn refused(why: &str) -> Response {
    let problem = Problem::new(why).hint("open the page at Treen's own address");
    Refusal(Trouble::Conflict(problem)).into_response()
}

fn text(headers: &HeaderMap, name: HeaderName) -> Option<&str> {
    headers.get(name).and_then(|it| it.to_str().ok())
}

/// Whether the host that is asked is a number, a bare name, or a name of the
/// shop's own network. A public name that leads here is another site's, whose
/// page would count as our own (DNS rebinding). Browsers always name the host.
fn is_at_home(headers: &HeaderMap) -> bool {
    let Some(host) = text(headers, header::HOST) else { return !headers.contains_key(header::HOST) };
    let name = match host.strip_prefix('[') {
        Some(rest) => rest.split(']').next().unwrap_or_default(),
        None => host.rsplit_once(':').map_or(host, |(name, _)| name),
    };
    let name = name.trim_end_matches('.').to_ascii_lowercase();
    name.parse::<IpAddr>().is_ok() || !name.contains('.') || AT_HOME.iter().any(|end| name.ends_with(end))
}

/// Whether the page that asks came from the address that is asked. Programs
/// other than browsers send no origin.
fn is_own(headers: &HeaderMap) -> bool {
    match headers.get(header::ORIGIN) {
        None => true,
        Some(origin) => {
            let host = origin.to_str().ok().and_then(|it| it.split_once("://")).map(|(_, host)| host);
            host.is_some() && host == text(headers, header::HOST)
        }
    }
}

#[cfg(test)]
mod tests {
    use axum::http::HeaderValue;

    use super::*;

    #[test]
    fn only_names_of_this_machine_are_at_home() {
        let at = |host: &'static str| {
            is_at_home(&HeaderMap::from_iter([(header::HOST, HeaderValue::from_static(host))]))
        };
        for own in ["127.0.0.1:7420", "192.168.1.20:7420", "localhost:7420", "[::1]:7420", "bench:7420"] {
            assert!(at(own), "{own}");
        }
        for own in ["bench.local:7420", "Bench.LAN", "shop.home.arpa."] {
            assert!(at(own), "{own}");
        }
        for other in ["elsewhere.example:7420", "127.0.0.1.elsewhere.example", "a.local.example.com"] {
            assert!(!at(other), "{other}");
        }
        assert!(is_at_home(&HeaderMap::new()));
    }
}
