//! What makes differ by, in what a car of a plate shows: further columns of what is in doubt, and means that
//! go with them.

use super::evidence::{Read, Shown};
use super::ladders::{Ladders, Spot};
use crate::network::Reading;
use crate::study::knowing::unlike::Driven;

impl Shown {
    /// Reading `i` at the car's spot, beside the sound car's.
    pub(super) fn as_makes_differ(
        &mut self,
        ladders: &Ladders,
        (i, read): (usize, &Read),
        spot: &Spot,
        sound: Option<&Spot>,
    ) {
        let mean = self.means[i];
        let of_sound = |reading| sound.and_then(|sound| sound.readings.get(reading));
        let both = |reading| [spot.readings.get(reading), of_sound(reading)];
        // By as much as in the healthy car: a fault makes no other make of it.
        let own = of_sound(read.reading).unwrap_or(mean);
        let driven = Driven::of(&ladders.conditions[read.condition].command);
        self.shifted(ladders, (i, read), own, driven);
        if ladders.conditions[read.condition].moving {
            let off = ladders.off_rest(read.condition);
            let rest = sound.and_then(|sound| spot.off_rest(ladders, read.reading as usize, sound));
            self.by_doubt[(i, off)] = rest.unwrap_or(0.0);
        }
        let unlike = ladders.doubt.unlike;
        if let ([Some(now), Some(was)], Driven::Idle) = (both(Reading::Throttle), driven) {
            let [up, doubt] = unlike.run_up(read.reading, mean, 1.0 - now / was);
            self.means[i] += up;
            self.by_doubt[(i, ladders.run_up())] = doubt;
        }
        match (driven, spot.readings.get(Reading::FuelTrim)) {
            (Driven::Full, trim) => {
                self.unregulated(
                    ladders,
                    (i, read.reading),
                    own,
                    [spot, sound.unwrap_or(spot)],
                );
                let carried = trim.map(|trim| unlike.carried(read.reading, mean, trim));
                self.by_doubt[(i, ladders.carried())] = carried.unwrap_or(0.0);
            }
            (_, Some(trim)) => self.stop(ladders, (i, read.reading), trim),
            _ => {}
        }
    }

    fn shifted(&mut self, ladders: &Ladders, (i, read): (usize, &Read), own: f64, driven: Driven) {
        let first = ladders.doubt.count() + ladders.conditions.len();
        let unlike = ladders.doubt.unlike;
        for shift in unlike.shifts(read.reading, own, driven) {
            self.by_doubt[(i, first + shift.aspect)] = shift.common;
            for (c, near) in ladders.near.factor.row(read.condition).iter().enumerate() {
                let column = first + unlike.alone(shift.aspect, c);
                self.by_doubt[(i, column)] = near * shift.alone;
            }
        }
    }

    /// At full load: enrichment that goes with boost, and boost that nothing regulates yet.
    fn unregulated(
        &mut self,
        ladders: &Ladders,
        (i, reading): (usize, Reading),
        own: f64,
        [spot, sound]: [&Spot; 2],
    ) {
        let unlike = ladders.doubt.unlike;
        let boosts = [spot, sound].map(|spot| spot.readings.get(Reading::Boost));
        let mixture = matches!(reading, Reading::Lambda | Reading::LambdaSensor);
        if let ([Some(left), Some(whole)], true) = (boosts, mixture) {
            let [leaner, doubt] = unlike.leaner(self.means[i], [left, whole]);
            self.means[i] += leaner;
            self.changes[i] += leaner;
            self.by_doubt[(i, ladders.leaner())] = doubt;
        }
        let turbo = [Reading::Wastegate, Reading::Boost, Reading::Manifold];
        if let [Some(gate), Some(boost), Some(pressure)] = turbo.map(|r| sound.readings.get(r)) {
            let builds = unlike.builds(reading, own, [gate, boost, pressure]);
            self.by_doubt[(i, ladders.builds())] = builds;
        }
    }
}
