//! `sum`: one calculation, a batch, a bare list; and the list of all.

use serde_json::{Value, json};
use stillprop_calc::catalogue;

use crate::program::{Folder, stillprop, text};

/// The value of an output, which must be in that unit.
#[track_caller]
fn output(answer: &Value, key: &str, unit: &str) -> f64 {
    let output = &answer["outputs"][key];
    assert_eq!(output["unit"], unit, "{key} of {answer}");
    output["value"].as_f64().unwrap_or_else(|| panic!("{key} of {answer}"))
}

#[track_caller]
fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{found}, not {wanted}");
}

fn sum(args: &[&str]) -> Value {
    stillprop(&[&["sum"], args, &["--json"]].concat()).ends(0).json()
}

/// The answer to an input file.
fn from_file(args: &[&str], input: &Value) -> Value {
    let folder = Folder::new();
    folder.write("input.json", input.to_string().as_bytes());
    folder.run(&[&["sum"], args, &["--input", "input.json", "--json"]].concat()).ends(0).json()
}

#[test]
fn the_list_names_every_calculation_with_inputs_units_ranges_and_sources() {
    let list = sum(&["--list"]);
    let page = stillprop(&["sum", "--list"]).ends(0).out;
    let listed = list["sums"].as_array().unwrap();
    assert_eq!(listed.len(), catalogue::all().count());
    for (said, sum) in listed.iter().zip(catalogue::all()) {
        assert_eq!(text(said, "name"), sum.name);
        assert_ne!(text(said, "answers"), "");
        let inputs = said["inputs"].as_array().unwrap();
        assert_eq!(inputs.len(), sum.inputs.len(), "{}", sum.name);
        for (said, input) in inputs.iter().zip(sum.inputs) {
            assert_eq!((text(said, "key"), &said["required"]), (input.key, &json!(input.required)));
            assert_ne!(text(said, "takes"), "");
            assert_eq!(said["min"].is_object(), input.bounds.is_some(), "{}", sum.name);
            let quantity = input.bounds.is_some();
            assert!(!quantity || !said["units"].as_array().unwrap().is_empty(), "{}", sum.name);
        }
        assert_eq!(said["outputs"].as_array().unwrap().len(), sum.outputs.len());
        let sources = said["sources"].as_array().unwrap();
        assert!(!sources.is_empty(), "{} has no source", sum.name);
        for source in sources {
            assert!(text(source, "citation").len() > text(source, "id").len(), "{source}");
        }
        assert!(page.contains(&format!("{}\n  {}", sum.name, sum.answers)), "{}", sum.name);
    }
}

#[test]
fn one_name_with_list_describes_that_one_only() {
    let list = sum(&["ballast", "--list"]);
    assert_eq!(list["sums"].as_array().unwrap().len(), 1);
    assert_eq!(text(&list["sums"][0], "name"), "ballast");
}

#[test]
fn an_answer_has_name_inputs_outputs_sources_and_working() {
    let answer = sum(&["pressure-altitude", "elevation=5300 ft", "qnh=1013.25 hPa"]);
    assert_eq!(text(&answer, "name"), "pressure-altitude");
    assert_eq!(answer["inputs"], json!({ "elevation": "5300 ft", "qnh": "1013.25 hPa" }));
    // In the standard atmosphere the pressure altitude of a place is its elevation.
    near(output(&answer, "pressure_altitude", "ft"), 5300.0);
    assert_eq!(text(&answer["sources"][0], "id"), "icao-7488");
    assert!(answer["working"].as_array().unwrap().len() >= 2);
}

#[test]
fn values_that_can_be_checked_by_hand() {
    // A wind of 20 kt 30 degrees off the runway: half of it blows across.
    let wind = sum(&["runway-wind", "runway=90 deg", "wind_direction=120 deg", "wind_speed=20 kt"]);
    near(output(&wind, "crosswind", "kt"), 10.0);
    assert_eq!(wind["outputs"]["crosswind_from"]["value"], "right");
    // Three, four, five.
    let triangle = sum(&[
        "wind-triangle",
        "course=0 deg",
        "true_airspeed=100 kt",
        "wind_direction=90 deg",
        "wind_speed=60 kt",
    ]);
    near(output(&triangle, "groundspeed", "kt"), 80.0);
    let time = sum(&["leg-time", "distance=150 NM", "groundspeed=100 kt"]);
    near(output(&time, "time", "min"), 90.0);
    let fuel = sum(&["mass-of-fuel", "volume=100 L", "density=0.72 kg/L"]);
    near(output(&fuel, "mass", "kg"), 72.0);
    let rounded = sum(&["round-up", "volume=101 L", "step=5 L"]);
    near(output(&rounded, "rounded_up", "L"), 105.0);
}

#[test]
fn a_unit_changes_the_number_and_not_the_quantity() {
    let [metres, feet] = ["914.4 m", "3000 ft"]
        .map(|height| sum(&["standard-atmosphere", &format!("height={height}")]));
    assert_eq!(metres["outputs"], feet["outputs"]);
    let us = sum(&["mass-of-fuel", "volume=100 L", "density=0.72 kg/L", "--units", "us"]);
    near(output(&us, "mass", "lb") * 0.453_592_37, 72.0);
}

#[test]
fn a_bare_list_is_the_list_that_the_calculation_takes() {
    let rows = json!([
        { "mass": "340 lb", "arm": "85 in" },
        { "mass": "170 lb", "arm": "121 in" },
        { "mass": "90 lb", "arm": "150 in" },
    ]);
    let answer = from_file(&["centre-of-gravity"], &rows);
    near(output(&answer, "mass", "kg"), 600.0 * 0.453_592_37);
    // (340 x 85 + 170 x 121 + 90 x 150) / 600 = 62 970 / 600 in
    near(output(&answer, "centre_of_gravity", "m"), 62_970.0 / 600.0 * 0.025_4);
    let named = from_file(&["centre-of-gravity"], &json!({ "items": rows }));
    assert_eq!(answer["outputs"], named["outputs"]);
    let with_mac = from_file(&["centre-of-gravity", "lemac=100 in", "mac=50 in"], &rows);
    near(output(&with_mac, "percent_mac", "%"), (62_970.0 / 600.0 - 100.0) / 50.0 * 100.0);
}

#[test]
fn an_object_gives_inputs_and_what_is_typed_is_added() {
    let answer = from_file(&["leg-time", "groundspeed=100 kt"], &json!({ "distance": "150 NM" }));
    near(output(&answer, "time", "min"), 90.0);
    let empty = from_file(
        &["density-altitude", "elevation=0 ft", "qnh=1013.25 hPa"],
        &json!({ "temperature": "15 degC", "dew_point": null }),
    );
    near(output(&empty, "density_altitude", "ft"), 0.0);
}

#[test]
fn a_list_of_objects_is_a_batch_in_the_same_order() {
    let cases = json!([
        { "distance": "50 NM", "groundspeed": "100 kt" },
        { "distance": "100 NM", "groundspeed": "100 kt" },
    ]);
    let answers = from_file(&["leg-time"], &cases);
    let times: Vec<f64> =
        answers.as_array().unwrap().iter().map(|one| output(one, "time", "min")).collect();
    near(times[0], 30.0);
    near(times[1], 60.0);

    let items = |mass: &str| json!({ "items": [{ "mass": mass, "arm": "2 m" }] });
    let answers = from_file(&["centre-of-gravity"], &json!([items("10 kg"), items("30 kg")]));
    near(output(&answers[1], "mass", "kg"), 30.0);
}

#[test]
fn a_bad_case_of_a_batch_spoils_the_exit_code_and_no_other_answer() {
    let folder = Folder::new();
    let cases = json!([
        { "distance": "50 NM", "groundspeed": "0 kt" },
        { "distance": "50 NM", "groundspeed": "100 kt" },
        17,
    ]);
    folder.write("cases.json", cases.to_string().as_bytes());
    let answers = folder.run(&["sum", "leg-time", "--input", "cases.json"]).ends(2).json();
    assert!(text(&answers[0]["error"], "message").contains("groundspeed"), "{answers}");
    near(output(&answers[1], "time", "min"), 30.0);
    assert!(answers[2]["error"].is_object(), "{answers}");
}

#[test]
fn a_bad_input_ends_with_2_and_names_its_key() {
    for (args, key) in [
        (&["leg-time", "distance=50", "groundspeed=100 kt"][..], "distance"),
        (&["leg-time", "distance=50 kg", "groundspeed=100 kt"], "distance"),
        (&["leg-time", "distance=NaN NM", "groundspeed=100 kt"], "distance"),
        (&["leg-time", "distance=inf NM", "groundspeed=100 kt"], "distance"),
        (&["leg-time", "distance=1e999 NM", "groundspeed=100 kt"], "distance"),
        (&["leg-time", "distance=-1 NM", "groundspeed=100 kt"], "distance"),
        (&["leg-time", "distance=50 NM", "groundspeed=0.99 kt"], "groundspeed"),
        (&["leg-time", "distance=50 NM", "groundspeed=600.01 kt"], "groundspeed"),
        (&["leg-time", "distance=50 NM"], "groundspeed"),
        (&["leg-time", "distance=50 NM", "groundspeed=100 kt", "wind=5 kt"], "wind"),
        (&["leg-time", "distance=", "groundspeed=100 kt"], "distance"),
        (&["leg-time", "distance=50 NM", "distance=60 NM", "groundspeed=100 kt"], "distance"),
        (&["leg-time", "50 NM"], "50 NM"),
        (&["sun-events", "latitude=0 deg", "longitude=0 deg", "date=2026-02-30"], "date"),
        (&["density-altitude", "pressure_altitude=0 ft"], "temperature"),
    ] {
        let args = [&["sum"], args].concat();
        let page = stillprop(&args).ends(2);
        assert_eq!(page.out, "", "{args:?}");
        assert!(page.err.contains(key), "{args:?}: {}", page.err);
        let answer = stillprop(&[&args[..], &["--json"]].concat()).ends(2).json();
        assert!(text(&answer["errors"][0], "message").contains(key), "{args:?}: {answer}");
    }
}

#[test]
fn a_bad_input_file_ends_with_2_and_names_the_file() {
    let folder = Folder::new();
    folder.write("broken.json", b"{ \"distance\": ");
    folder.write("number.json", b"17");
    folder.write("deep.json", "[".repeat(200_000).as_bytes());
    folder.write("latin.json", b"{ \"distance\": \"caf\xe9\" }");
    folder.write("huge.json", &vec![b' '; 10 << 20]);
    folder.write("bare.json", br#"{ "distance": 50, "groundspeed": "100 kt" }"#);
    for (name, reason) in [
        ("broken.json", "broken.json"),
        ("number.json", "leg-time takes no list"),
        ("deep.json", "deep.json"),
        ("latin.json", "latin.json"),
        ("huge.json", "huge.json"),
        ("bare.json", "distance"),
        ("nowhere.json", "nowhere.json"),
    ] {
        let page = folder.run(&["sum", "leg-time", "--input", name]).ends(2);
        assert!(page.err.contains(reason), "{name}: {}", page.err);
    }
}
