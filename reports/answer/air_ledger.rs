//! The air ledger as a drawing: the way of the air with bands as wide as the flow, the sound
//! car as a ghost, leaks where they are.

use super::air_path::{MAP, Map, Taken, clear};
use crate::figure::ink::Ink;
use crate::figure::scene::{Point, Scene, Side as Stands, Words};
use sim::network::flows::FLOWS;
use sim::network::layout::Node;
use sim::network::places::Account;
use sim::network::readings::Reading as R;
use sim::study::running::simulate::Side;

/// Widest band, px; thinnest that is still seen.
const WIDEST: f64 = 28.0;
const THINNEST: f64 = 1.0;
/// Letters of names, px: on paper, where two drawings stand on a sheet, they are a third as large.
const NAMES: f64 = 17.0;
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
    let path = &*MAP;
    let mut scene = Scene::new(path.size[0], path.size[1]);
    let flow = |side: &Side, key: &str| {
        let at = FLOWS.iter().position(|(name, ..)| *name == key);
        at.map_or(0.0, |at| side.flows[at])
    };
    let most = picture.most.max(0.1);
    let width = |flow: f64| (WIDEST * flow.abs() / most).max(THINNEST);
    path.draw(&mut scene);
    for (ink, wider) in [(Ink::Sound, 6.0), (Ink::Paper, 2.0)] {
        for (key, pieces) in path.ways() {
            for piece in pieces {
                scene.line(piece, ink, width(flow(picture.sound, key)) + wider);
            }
        }
    }
    let (which, dark) = match picture.faulty {
        Some(faulty) => ("faulty", faulty),
        None => ("healthy", picture.sound),
    };
    for (key, pieces) in path.ways() {
        let through = flow(dark, key);
        if through.abs() > NOTHING {
            let json = format!("{}/{which}/flows_g_s/{key}", picture.json);
            scene.number(&json, through, |scene| {
                for piece in pieces {
                    scene.line(piece, Ink::Faulty, width(through));
                }
            });
        }
    }
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
    scale(&mut scene, most);
    let taken = leaks(&mut scene, path, picture, width);
    path.name(&mut scene, (NAMES, &taken), |_| None);
    scene
}

/// A flow said beside the drawing.
fn callout(
    scene: &mut Scene,
    [x, y]: Point,
    side: Stands,
    words: &str,
    (json, value): (&str, f64),
) {
    scene.words(Words::new(words, [x, y], NAMES, Ink::Quiet).side(side));
    let said = format!("{} g/s", crate::text::number::number(value, 2));
    let large = Words::new(said, [x, y + 24.0], 21.0, Ink::Text).side(side);
    scene.number(json, value, |scene| scene.words(large.bold()));
}

/// Between a pipe's middle and an arrow's near end, px.
const OFF: f64 = 16.0;
/// Length of an arrow where the drawing leaves none free, px.
const SHORT: f64 = 40.0;

/// Letters of a leak's flow, px.
const FLOW: f64 = 17.0;

/// Where the arrow of a leak is: along its direction from its place, px, and across it.
struct Arrow {
    place: Point,
    sin: f64,
    cos: f64,
    /// So far from the middle of its place, for several at one stand beside each other.
    aside: f64,
    tail: f64,
    head: f64,
    band: f64,
}

impl Arrow {
    fn at(&self, along: f64, across: f64) -> Point {
        let across = across + self.aside;
        let [x, y] = self.place;
        let Self { sin, cos, .. } = self;
        [
            x + along * cos - across * sin,
            y + along * sin + across * cos,
        ]
    }

    /// Half as broad as its head.
    fn barb(&self) -> f64 {
        6.0 + self.band / 2.0
    }

    fn taken(&self) -> Taken {
        let ends = [
            self.at(self.tail, -self.barb()),
            self.at(self.head, self.barb()),
        ];
        let [a, b] = ends;
        [
            a[0].min(b[0]),
            a[1].min(b[1]),
            a[0].max(b[0]),
            a[1].max(b[1]),
        ]
    }

    fn draw(&self, scene: &mut Scene) {
        let away = (self.head - self.tail).signum();
        let base = self.head - away * (self.barb() + 3.0);
        scene.line(
            vec![self.at(self.tail, 0.0), self.at(base, 0.0)],
            Ink::Leak,
            self.band,
        );
        let head = [(self.head, 0.0), (base, -self.barb()), (base, self.barb())];
        scene.area(
            head.map(|(along, across)| self.at(along, across)).to_vec(),
            Ink::Leak,
        );
    }

    /// Where its flow may be said, best first, within paper that is so wide.
    fn said(&self, said: &str, width: f64) -> Vec<Words> {
        let words = Words::new(said, self.place, FLOW, Ink::Leak)
            .side(Stands::Middle)
            .bold();
        let half = 0.5 * words.width();
        let far = self.tail.max(self.head);
        let beyond = |off: f64| far + 14.0 + off + half * self.cos.abs();
        let beside = self.barb() + 10.0 + half * self.sin.abs() + 6.0 * self.cos.abs();
        let places = [
            (beyond(0.0), 0.0),
            (far - 10.0, beside),
            (far - 10.0, -beside),
            (beyond(20.0), 0.0),
            (far - 34.0, beside),
            (far - 34.0, -beside),
            (far + 30.0, beside),
            (far + 30.0, -beside),
        ];
        let placed = places.map(|(along, across)| {
            let [x, y] = self.at(along, across);
            let at = [x.clamp(half + 4.0, width - half - 4.0), y];
            Words {
                at,
                ..words.clone()
            }
        });
        placed.to_vec()
    }
}

/// An arrow for each leak, in or out, with its flow; what of the paper they take.
fn leaks(
    scene: &mut Scene,
    path: &Map,
    picture: &Picture,
    width: impl Fn(f64) -> f64,
) -> Vec<Taken> {
    let all = picture.faulty.map_or(&[][..], |side| &side.leaks);
    let arrow = |i: usize| {
        let leak = all.get(i)?;
        let &[x, y, angle, reach] = path.places.get(leak.place.word())?;
        let beside = all[..i].iter().filter(|other| other.place == leak.place);
        let (sin, cos) = angle.to_radians().sin_cos();
        let far = OFF + reach.max(SHORT);
        // Within the paper.
        let far = if cos > 0.9 {
            far.min(path.size[0] - 4.0 - x)
        } else {
            far
        };
        let (tail, head) = if leak.flow >= 0.0 {
            (far, OFF)
        } else {
            (OFF, far)
        };
        Some(Arrow {
            place: [x, y],
            sin,
            cos,
            aside: 30.0 * beside.count() as f64,
            tail,
            head,
            band: width(leak.flow).clamp(2.5, WIDEST),
        })
    };
    let back = |i: usize| all[i].place.nodes(picture.valve_outlet).2 == Account::Recirculated;
    let lost = (0..all.len()).filter(|i| !back(*i));
    let taken: Vec<Taken> = lost.filter_map(arrow).map(|arrow| arrow.taken()).collect();
    for (i, leak) in all.iter().enumerate() {
        let json = format!("{}/faulty/leaks/{i}/flow_g_s", picture.json);
        if back(i) {
            around(scene, path, (&json, leak.flow), width(leak.flow));
            continue;
        }
        let Some(arrow) = arrow(i) else { continue };
        let way = if leak.flow >= 0.0 { "in" } else { "out" };
        let flow = crate::text::number::number(leak.flow.abs(), 2);
        let places = arrow.said(&format!("{flow} g/s {way}"), path.size[0]);
        let (free, crossed): (Vec<Words>, Vec<Words>) =
            places.into_iter().partition(|words| clear(words, &taken));
        scene.number(&json, leak.flow, |scene| {
            scene.words_on_paper(free.into_iter().chain(crossed));
            arrow.draw(scene);
        });
    }
    taken
}

/// A leak that loses no air: it goes round the compressor, back to the inlet.
fn around(scene: &mut Scene, path: &Map, (json, flow): (&str, f64), band: f64) {
    let way = path.way("recirculation");
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
    let places = [0.0, 26.0, -26.0].map(|dy| [before[0] - 22.0, before[1] + dy]);
    let words = places.map(|at| {
        Words::new(&said, at, FLOW, Ink::Leak)
            .side(Stands::Left)
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
    scene.words(Words::new(said, [x + 56.0, y], NAMES, Ink::Quiet));
}
