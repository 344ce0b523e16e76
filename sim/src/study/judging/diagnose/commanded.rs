//! What an engine computer was seen to ask for at full load, in a car of which only the plate is known: there it
//! says more of this car's aims than any plate.

use super::file::{ReadingsFile, Taken};
use crate::curve::Curve;
use crate::network::Vehicle;

/// Pedal from which a condition is full load.
const DOWN: f64 = 0.9;
/// Between which shares of what the plate's car aims at a command can be that of such a car (own choice): less is
/// a computer that protects the engine, more a column read wrong or no car of this plate.
const OF_THE_PLATE: [f64; 2] = [0.6, 1.25];
/// The same of the full-load mixture (own choice): leaner is no aim that a healthy car is run with.
const RICH: [f64; 2] = [0.7, 1.0];
/// Largest boost that a vehicle file takes, Pa.
const MOST: f64 = 3e5;

impl ReadingsFile<f64> {
    fn at_full_load(&self) -> impl Iterator<Item = (f64, &Taken<f64>)> {
        let full = |taken: &&Taken<f64>| taken.pedal.is_some_and(|pedal| pedal > DOWN);
        let all = self.condition.iter().filter(full);
        all.filter_map(|taken| Some((taken.speed?, taken)))
    }

    /// The car with the aims that were seen: its boost by as much more or less as was asked for at the speeds
    /// around, its full-load mixture the mean of those asked for.
    pub(super) fn as_commanded(&self, vehicle: &mut Vehicle<f64>) {
        let lambdas = self.at_full_load();
        let lambdas: Vec<f64> = lambdas.filter_map(|(_, t)| t.commanded_lambda).collect();
        let mean = lambdas.iter().sum::<f64>() / lambdas.len() as f64;
        // Not a number where none was read.
        if within(RICH, mean) {
            vehicle.fuelling.full_load_lambda = mean;
        }
        let target = &vehicle.boost.target;
        let told = self.at_full_load().filter_map(|(speed, taken)| {
            let (asked, usual) = (taken.commanded_boost?, target.at(speed));
            (asked > 0.0 && usual > 0.0).then(|| [speed, asked / usual])
        });
        let mut told: Vec<[f64; 2]> = told.collect();
        told.sort_by(|a, b| a[0].total_cmp(&b[0]));
        if told.is_empty() || !told.iter().all(|told| within(OF_THE_PLATE, told[1])) {
            return;
        }
        let points = target.points().iter();
        let points =
            points.map(|[speed, boost]| [*speed, (boost * along(&told, *speed)).min(MOST)]);
        if let Ok(asked) = Curve::new(points.collect()) {
            vehicle.boost.target = asked;
        }
    }
}

fn within([low, high]: [f64; 2], value: f64) -> bool {
    (low..=high).contains(&value)
}

/// On the straight lines through `points`, and level beyond their ends.
fn along(points: &[[f64; 2]], x: f64) -> f64 {
    let above = points.partition_point(|point| point[0] < x);
    match (above.checked_sub(1).map(|i| points[i]), points.get(above)) {
        (Some([x0, y0]), Some([x1, y1])) => y0 + (y1 - y0) * (x - x0) / (x1 - x0),
        (Some([_, y]), None) | (None, Some(&[_, y])) => y,
        (None, None) => 1.0,
    }
}

#[cfg(test)]
mod tests {
    use super::along;

    #[test]
    fn level_beyond_the_ends() {
        let points = [[1.0, 2.0], [3.0, 4.0]];
        for (x, y) in [(0.0, 2.0), (1.0, 2.0), (2.0, 3.0), (3.0, 4.0), (9.0, 4.0)] {
            assert_eq!(along(&points, x), y);
        }
    }
}
