//! Cars for a class: each of its own, with another fault each, large enough to be found.

use super::at_the_car::PLUG;
use super::catalogue::{STATED, Suspect};
use super::garage::{Chance, separation};
use super::ladders::Ladders;
use super::ranking::NoDiagnosis;
use crate::leak::Shape;
use crate::network::{Defect, Leak, Network, Place, Reading};
use crate::study::knowing::doubt::CarDoubt;
use crate::study::running::condition::standard;

/// How far the scan-tool readings of idle, light cruise and full load stand off a healthy car's at least,
/// standard deviations (own choice: a test that accuses one healthy car in a thousand then misses one
/// faulty car in two thousand).
const SHOWS: f64 = 6.5;
/// Sizes that are drawn first, and by how much they grow until they show, along the size's coordinate.
const FIRST: (f64, f64) = (0.35, 0.7);
const GROWS: f64 = 0.1;

/// So many cars of the make of `car`: what is wrong with each, none in a healthy one, and the seed of its
/// [`Exercise`](super::exercise::Exercise). No two have the same fault before every fault had its turn;
/// faults that the readings do not show are left out. The same for the same seed.
///
/// # Errors
/// The healthy car does not run at idle, light cruise or full load.
pub fn drawn(
    car: &Network<f64>,
    count: usize,
    seed: u64,
) -> Result<Vec<(Option<Defect>, u64)>, NoDiagnosis> {
    let ladders = Ladders::new(car, standard(car), CarDoubt::usual(car, 1.0));
    let ladders = ladders.map_err(|(at, why)| NoDiagnosis::NotRunning(at, why))?;
    let mut chance = Chance::new(seed);
    let mut class = Vec::new();
    let mut deck: Vec<Option<usize>> = Vec::new();
    while class.len() < count {
        let before = class.len();
        if deck.is_empty() {
            deck = shuffled(&ladders.suspects, &mut chance);
        }
        while let (Some(card), true) = (deck.pop(), class.len() < count) {
            let of_its_own = chance.below(1 << 31) as u64;
            match card {
                None => class.push((None, of_its_own)),
                Some(index) => {
                    let shows = shown(&ladders, index, &mut chance);
                    let found = shows.map(|size| defect(&ladders.suspects[index], size));
                    class.extend(found.map(|defect| (Some(defect), of_its_own)));
                }
            }
        }
        // Not even a healthy car is left to be given.
        if class.len() == before {
            return Err(NoDiagnosis::Nothing);
        }
    }
    Ok(class)
}

/// A healthy car and one of every curve, in an order of chance.
fn shuffled(suspects: &[Suspect], chance: &mut Chance) -> Vec<Option<usize>> {
    let own = |i: &usize| suspects[..*i].iter().all(|s| s.curve != suspects[*i].curve);
    let own = (0..suspects.len()).filter(own).map(Some);
    let mut deck: Vec<_> = std::iter::once(None).chain(own).collect();
    for last in (1..deck.len()).rev() {
        deck.swap(last, chance.below(last + 1));
    }
    deck
}

/// A size, SI, at which the readings show it; none if they never do.
fn shown(ladders: &Ladders, index: usize, chance: &mut Chance) -> Option<f64> {
    let plug: Vec<&[Reading]> = vec![&PLUG; ladders.conditions.len()];
    let mut u = chance.between(FIRST.0, FIRST.1);
    while u < 1.0 {
        if separation(ladders, index, u, &plug).is_some_and(|apart| apart > SHOWS) {
            return Some(ladders.suspects[index].size(u));
        }
        u += GROWS;
    }
    None
}

/// The suspect at a size; a hole in the shape that is met at its place, as large as it.
fn defect(suspect: &Suspect, size: f64) -> Defect {
    let Defect::Leak(leak) = suspect.defect else {
        return suspect.defect.sized(size);
    };
    if leak.shape.area(0.0) == Some(0.0) {
        let shape = Shape::slender_split(size, STATED);
        return Defect::Leak(Leak { shape, ..leak });
    }
    let hole = leak.shape.sized(size);
    let met = met(leak.place).and_then(|shape| {
        let share = hole.area(0.0)? / shape.area(0.0)?;
        Some(shape.sized(share * shape.size()))
    });
    let shape = met.filter(|shape| shape.size() < shape.measure().widest);
    Defect::Leak(Leak {
        shape: shape.unwrap_or(hole),
        ..leak
    })
}

/// The shape that an opening has at a place, other than a hole.
fn met(place: Place) -> Option<Shape> {
    match place {
        Place::RecirculationCover => Some(Shape::usual_cover()),
        Place::BreatherUnion | Place::Crankcase => Some(Shape::usual_ring()),
        Place::ManifoldGasket | Place::ExhaustManifold => Some(Shape::usual_gasket()),
        _ => None,
    }
}
