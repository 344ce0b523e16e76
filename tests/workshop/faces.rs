//! What programs are told, people are told as well.

use super::{json, text, workshop};

/// Without a car there is no boost to speak of; all the rest is said.
#[test]
fn a_flow_test_without_a_car_shows_all_that_it_found() {
    let asked = ["flow", "--flow", "0.1 g/s", "--pressure", "5 kPa gauge"];
    let whole = [&asked[..], &["--full"]].concat();
    let shown = text(&workshop(&whole).stdout);
    assert!(json(&asked)["flow_at_boost_g_s"].is_null());
    for figure in [
        "flow the meter shows",
        "pressure inside",
        "sharp-edged hole that does the same",
        "ISO 6358 critical ratio b",
        "b measured by a second reading",
    ] {
        assert!(shown.contains(figure), "{figure} is not in\n{shown}");
    }
    assert!(!shown.contains("flow at that boost"), "{shown}");
}
