//! The air ledger as a drawing: the way of the air with bands as wide as the flow, the sound
//! car as a ghost, leaks where they are.

use crate::figure::ink::Ink;
use crate::figure::scene::{Point, Scene, Side as Stands, Words};
use sim::network::flows::FLOWS;
use sim::network::layout::Node;
use sim::network::places::Account;
use sim::network::readings::Reading as R;
use sim::study::running::simulate::Side;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// Where everything lies; the lesson's page draws by the same.
pub const GEOMETRY: &str = include_str!("airpath.json");

#[derive(serde::Deserialize, Default)]
struct Geometry {
    size: [f64; 2],
    ways: BTreeMap<String, Vec<Point>>,
    places: BTreeMap<String, Point>,
    boxes: BTreeMap<String, [f64; 4]>,
    shaft: [Point; 2],
    names: BTreeMap<String, (String, f64, f64)>,
    counted: Point,
    real: Point,
}

static PATH: LazyLock<Geometry> =
    LazyLock::new(|| serde_json::from_str(GEOMETRY).unwrap_or_default());

/// Widest band, px; thinnest that is still seen.
const WIDEST: f64 = 28.0;
const THINNEST: f64 = 1.0;
/// Flow below which a way is not drawn as flowing, g/s.
const NOTHING: f64 = 2e-3;

/// What is drawn of one operating point.
pub struct Picture<'a> {
    /// The healthy car.
    pub sound: &'a Side,
    /// The car with its leaks and faults, if there are any.
    pub faulty: Option<&'a Side>,
    /// Where this point stands in the result for programs.
    pub json: &'a str,
    /// Flow that is drawn as the widest band, g/s: the same in drawings that are compared.
    pub most: f64,
    /// Where the compressor bypass valve lets air go.
    pub valve_outlet: Node,
}

/// The drawing.
pub fn ledger(picture: &Picture) -> Scene {
    let path = &*PATH;
    let mut scene = Scene::new(path.size[0], path.size[1]);
    let flow = |side: &Side, key: &str| {
        let at = FLOWS.iter().position(|(name, ..)| *name == key);
        at.map_or(0.0, |at| side.flows[at])
    };
    let most = picture.most.max(0.1);
    let width = |flow: f64| (WIDEST * flow.abs() / most).max(THINNEST);
    for (key, way) in &path.ways {
        scene.line(
            way.clone(),
            Ink::Sound,
            width(flow(picture.sound, key)) + 6.0,
        );
    }
    for (key, way) in &path.ways {
        scene.line(
            way.clone(),
            Ink::Paper,
            width(flow(picture.sound, key)) + 2.0,
        );
    }
    let (which, dark) = match picture.faulty {
        Some(faulty) => ("faulty", faulty),
        None => ("healthy", picture.sound),
    };
    for (key, way) in &path.ways {
        let through = flow(dark, key);
        if through.abs() > NOTHING {
            let json = format!("{}/{which}/flows_g_s/{key}", picture.json);
            scene.number(&json, through, |scene| {
                scene.line(way.clone(), Ink::Faulty, width(through));
            });
        }
    }
    machines(&mut scene, path);
    let told = |key: &str, reading: R| {
        (
            format!("{}/{which}/{key}", picture.json),
            dark.readings.values[reading as usize],
        )
    };
    let (json, counted) = told("metered_air_g_s", R::MeteredAir);
    callout(
        &mut scene,
        path.counted,
        Stands::Right,
        "counted by the engine",
        (&json, counted),
    );
    let (json, real) = told("engine_air_g_s", R::EngineAir);
    callout(
        &mut scene,
        path.real,
        Stands::Left,
        "really breathed",
        (&json, real),
    );
    leaks(&mut scene, path, picture, width);
    scale(&mut scene, most);
    scene
}

fn machines(scene: &mut Scene, path: &Geometry) {
    scene.line(path.shaft.to_vec(), Ink::Text, 1.5);
    for [left, top, width, height] in path.boxes.values() {
        let corners = [*left, *top, left + width, top + height];
        let [l, t, r, b] = corners;
        let edge = vec![[l, t], [r, t], [r, b], [l, b], [l, t]];
        scene.line(edge, Ink::Text, 1.5);
    }
    for (words, x, y) in path.names.values() {
        let words = Words::new(words, [*x, *y], 14.0, Ink::Text).side(Stands::Middle);
        scene.words_on_paper([words]);
    }
}

/// A flow said beside the drawing.
fn callout(
    scene: &mut Scene,
    [x, y]: Point,
    side: Stands,
    words: &str,
    (json, value): (&str, f64),
) {
    scene.words(Words::new(words, [x, y], 14.0, Ink::Quiet).side(side));
    let said = format!("{} g/s", crate::text::number::number(value, 2));
    let large = Words::new(said, [x, y + 24.0], 21.0, Ink::Text).side(side);
    scene.number(json, value, |scene| scene.words(large.bold()));
}

/// An arrow for each leak, in or out, with its flow.
fn leaks(scene: &mut Scene, path: &Geometry, picture: &Picture, width: impl Fn(f64) -> f64) {
    let faulty = picture.faulty.iter();
    for (i, leak) in faulty.flat_map(|side| &side.leaks).enumerate() {
        let Some(&[x, y]) = path.places.get(leak.place.word()) else {
            continue;
        };
        if leak.place.nodes(picture.valve_outlet).2 == Account::Recirculated {
            let json = format!("{}/faulty/leaks/{i}/flow_g_s", picture.json);
            around(scene, path, (&json, leak.flow), width(leak.flow));
            continue;
        }
        // Several at one place stand beside each other.
        let x = x + 26.0 * i as f64;
        let inward = leak.flow >= 0.0;
        let (tail, head) = if inward {
            (y - 40.0, y - 8.0)
        } else {
            (y - 6.0, y - 40.0)
        };
        let away = (head - tail).signum();
        let band = width(leak.flow).clamp(2.5, WIDEST);
        let json = format!("{}/faulty/leaks/{i}/flow_g_s", picture.json);
        let way = if inward { "in" } else { "out" };
        let said = format!(
            "{} g/s {way}",
            crate::text::number::number(leak.flow.abs(), 2)
        );
        let places = [
            [x, y - 54.0],
            [x, y + 30.0],
            [x + 60.0, y - 54.0],
            [x - 60.0, y - 54.0],
        ];
        let words = places.map(|at| {
            Words::new(&said, at, 15.0, Ink::Leak)
                .side(Stands::Middle)
                .bold()
        });
        scene.number(&json, leak.flow, |scene| {
            let barb = 6.0 + band / 2.0;
            scene.line(vec![[x, tail], [x, head - away * barb]], Ink::Leak, band);
            let base = head - away * (barb + 3.0);
            scene.area(
                vec![[x, head], [x - barb, base], [x + barb, base]],
                Ink::Leak,
            );
            scene.words_on_paper(words);
        });
    }
}

/// A leak that loses no air: it goes round the compressor, back to the inlet.
fn around(scene: &mut Scene, path: &Geometry, (json, flow): (&str, f64), band: f64) {
    let Some(way) = path.ways.get("recirculation") else {
        return;
    };
    let [.., before, end] = way[..] else { return };
    let band = band.clamp(2.5, WIDEST);
    let barb = 6.0 + band / 2.0;
    let neck = [end[0], end[1] - barb];
    let mut line = way[..way.len() - 1].to_vec();
    line.push(neck);
    let said = format!(
        "{} g/s back to the inlet",
        crate::text::number::number(flow.abs(), 2)
    );
    let middle = [0.5 * (before[0] + way[0][0]), before[1]];
    let places = [-18.0, 26.0].map(|dy| [middle[0], middle[1] + dy]);
    let words = places.map(|at| {
        Words::new(&said, at, 15.0, Ink::Leak)
            .side(Stands::Middle)
            .bold()
    });
    scene.number(json, flow, |scene| {
        scene.line(line, Ink::Leak, band);
        let [x, y] = end;
        scene.area(
            vec![
                [x, y],
                [x - barb, y - barb - 3.0],
                [x + barb, y - barb - 3.0],
            ],
            Ink::Leak,
        );
        scene.words_on_paper(words);
    });
}

/// How wide a band is.
fn scale(scene: &mut Scene, most: f64) {
    let flow = [100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1];
    let flow = flow.into_iter().find(|flow| *flow <= most).unwrap_or(0.1);
    let band = WIDEST * flow / most;
    let [x, y] = [30.0, 30.0];
    scene.line(vec![[x, y], [x + 46.0, y]], Ink::Faulty, band);
    let said = format!("a band this wide carries {flow} g/s");
    scene.words(Words::new(said, [x + 56.0, y], 13.0, Ink::Quiet));
}
