//! Full-load pulls, kept as traces.

use super::average::Sums;
use super::{Average, Channel};
use crate::network::Reading;

/// A sample of a pull.
#[derive(Clone, Debug, PartialEq)]
pub struct Sample {
    /// s from the start of the log.
    pub time: f64,
    /// Every channel of the pull; between two of its own values on the line through them, not a number
    /// before the first and after the last.
    pub values: Vec<f64>,
    /// Of which of them a value came just then.
    fresh: Vec<bool>,
}

/// Pedal down and engine speed rising.
#[derive(Clone, Debug, PartialEq)]
pub struct Pull {
    /// What the samples hold.
    pub channels: Vec<Channel>,
    /// In time, at least 0.05 s apart.
    pub samples: Vec<Sample>,
    /// Engine speed, rpm, at which the fuel was cut at its end; none where it was not.
    pub cut: Option<f64>,
}

/// Least time between samples kept, s.
pub(super) const LEAST_STEP: f64 = 0.05;
/// Time, s, over which a channel's values are taken to be joined by a line, and for which one alone is
/// taken to hold.
const JOINED: f64 = 4.0;
const HOLDS: f64 = 0.3;
/// Longest pull, s; what goes on is cut.
pub(super) const LONGEST: f64 = 60.0;
/// Shortest pull, s, and least rise of engine speed, rpm (own choice).
const LEAST: (f64, f64) = (1.5, 300.0);
/// Speed, rpm, from which an engine may be at its limiter; lambda above which its fuel is cut; time
/// before, s, at which lambda was still at most this, since a limiter comes at once and want of fuel
/// creeps (own choice).
const LIMITER: (f64, f64) = (5500.0, 1.3);
const AT_ONCE: (f64, f64) = (0.3, 1.05);
/// Share of the absolute pressure a second above which boost still builds (own choice).
const BUILDING: f64 = 0.1;
/// Up to which share a second a pull still tells something of a steady point; how many seconds a turbo is
/// behind where its gas would bring it, a standard deviation (own choice; from memory a car's turbo builds
/// in one to two seconds).
const TELLING: f64 = 0.4;
const BEHIND: f64 = 0.64;
/// What follows the turbo.
const FOLLOW: [Reading; 7] = [
    Reading::MeteredAir,
    Reading::AbsoluteLoad,
    Reading::Manifold,
    Reading::Boost,
    Reading::BoostSensor,
    Reading::ShaftSpeed,
    Reading::InletDepression,
];
/// What says nothing of a steady point while boost builds: the wastegate is still shut, and the mixture is
/// that of the boost there is.
const NOT_YET: [Reading; 5] = [
    Reading::Lambda,
    Reading::LambdaSensor,
    Reading::ExhaustPressure,
    Reading::ExhaustTemperature,
    Reading::WastegateDuty,
];
/// Pressure around, kPa, for what counts from it.
const AROUND: f64 = 101.325;
/// Pulls kept, those that rise most.
const MOST: usize = 40;

impl Pull {
    fn column(&self, channel: Channel) -> Option<usize> {
        self.channels.iter().position(|c| *c == channel)
    }

    /// Lowest and highest engine speed, rpm.
    pub fn speeds(&self) -> [f64; 2] {
        let speed = Channel::Read(Reading::EngineSpeed);
        let mut ends = [f64::INFINITY, f64::NEG_INFINITY];
        if let Some(i) = self.column(speed) {
            for sample in &self.samples {
                ends[0] = ends[0].min(sample.values[i]);
                ends[1] = ends[1].max(sample.values[i]);
            }
        }
        ends
    }

    /// How long it lasts, s.
    pub fn seconds(&self) -> f64 {
        let ends = self.samples.first().zip(self.samples.last());
        ends.map_or(0.0, |(first, last)| last.time - first.time)
    }

    /// Leaves the end out in which the computer cuts the fuel, where no mixture burns any more. A pull
    /// that gets lean by and by, or short of the speeds at which an engine is limited, is kept whole:
    /// it may be a danger.
    fn end_at_the_limiter(&mut self) {
        let engine = self.column(Channel::Read(Reading::EngineSpeed));
        let sensor = self.column(Channel::Read(Reading::LambdaSensor));
        let Some((engine, sensor)) = engine.zip(sensor) else {
            return;
        };
        let [_, top] = self.speeds();
        let cut = |s: &Sample| s.values[sensor] > LIMITER.1;
        let Some(first) = self
            .samples
            .iter()
            .position(cut)
            .filter(|_| top > LIMITER.0)
        else {
            return;
        };
        let at = &self.samples[first];
        let since = self.samples[..first].iter();
        let before = since.clone().rfind(|s| s.time <= at.time - AT_ONCE.0);
        let rich = before.is_some_and(|s| s.values[sensor] <= AT_ONCE.1);
        if rich && at.values[engine] > LIMITER.0 {
            self.cut = Some(top);
            // The sensor takes its time: what it shows on the way is no mixture either.
            let still =
                since.take_while(|s| s.values[sensor] <= AT_ONCE.1 || s.time < at.time - AT_ONCE.0);
            self.samples.truncate(still.count());
        }
    }

    /// Puts each channel's values where they belong in time: what was read before the pedal went down tells
    /// nothing of the pull, and a slow sensor's last value is not that of now.
    fn place_in_time(&mut self) {
        for i in 0..self.channels.len() {
            let own: Vec<(f64, f64)> = (self.samples.iter())
                .filter(|s| s.fresh[i] && s.values[i].is_finite())
                .map(|s| (s.time, s.values[i]))
                .collect();
            for sample in &mut self.samples {
                sample.values[i] = between(&own, sample.time);
            }
        }
    }

    /// What was read as the engine passed `speed` (rpm): at each channel the line through
    /// the samples within 200 rpm of it, or 500 where the log has few; none where there are
    /// fewer than 3, or `speed` was not passed. The first second after the pedal, while boost builds, does not count.
    ///
    /// The doubt is that of a line through scattered points. It does not hold how far
    /// a pull is from steady running.
    pub fn at(&self, speed: f64) -> Option<Vec<Average>> {
        let engine = self.column(Channel::Read(Reading::EngineSpeed))?;
        let near = self.near(speed)?;
        let read = self.channels.iter().enumerate().filter_map(|(i, channel)| {
            let places = |s: &&Sample| s.values[engine] - speed;
            line(*channel, i, &near, places).map(|(average, _)| average)
        });
        Some(read.collect())
    }

    /// Whether boost has built as the engine passes `speed` (rpm): while the turbo still runs up no
    /// steady point shows what the pull shows.
    pub fn built(&self, speed: f64) -> bool {
        self.rise(speed).is_some_and(|share| share <= BUILDING)
    }

    /// What was read as the engine passed `speed` (rpm) while boost still built: what follows the turbo is in
    /// doubt by what it changes while a turbo is behind. None where boost rises too fast to tell.
    pub fn building(&self, speed: f64) -> Option<Vec<Average>> {
        if self.rise(speed)? > TELLING {
            return None;
        }
        let mut read = self.at(speed)?;
        read.retain(|a| !NOT_YET.iter().any(|r| a.channel == Channel::Read(*r)));
        for average in &mut read {
            if FOLLOW.iter().any(|r| average.channel == Channel::Read(*r)) {
                let (_, slope) = self.over_time(average.channel, speed)?;
                average.doubt = average.doubt.hypot(BEHIND * slope);
            }
        }
        Some(read)
    }

    /// How fast boost changes as the engine passes `speed`: share of the absolute pressure a second.
    fn rise(&self, speed: f64) -> Option<f64> {
        self.near(speed)?;
        let pressures = [
            (Reading::Manifold, 0.0),
            (Reading::Boost, AROUND),
            (Reading::BoostSensor, AROUND),
        ];
        let shares = pressures.into_iter().filter_map(|(reading, outside)| {
            let (at, slope) = self.over_time(Channel::Read(reading), speed)?;
            Some(slope.abs() / (at.mean + outside))
        });
        Some(shares.fold(0.0, f64::max))
    }

    /// A channel's line over time as the engine passes `speed`, and its slope a second.
    fn over_time(&self, channel: Channel, speed: f64) -> Option<(Average, f64)> {
        let near = self.near(speed)?;
        let column = self.column(channel)?;
        let first = near[0].time;
        line(channel, column, &near, |s: &&Sample| s.time - first)
    }

    /// The samples as the engine passes `speed`.
    fn near(&self, speed: f64) -> Option<Vec<&Sample>> {
        let engine = self.column(Channel::Read(Reading::EngineSpeed))?;
        let from = self.samples.first()?.time + 1.0;
        let within = |rpm: f64| -> Vec<&Sample> {
            let built = self.samples.iter().filter(|sample| sample.time >= from);
            built
                .filter(|s| (s.values[engine] - speed).abs() <= rpm)
                .collect()
        };
        let mut near = within(200.0);
        if near.len() < 3 {
            // Few rows a second.
            near = within(500.0);
        }
        let below = near.iter().filter(|sample| sample.values[engine] <= speed);
        let below = below.count();
        (near.len() >= 3 && below > 0 && below < near.len()).then_some(near)
    }
}

/// A channel's value at a time: on the line between its own values before and after, alone for a moment;
/// not a number elsewhere.
fn between(own: &[(f64, f64)], time: f64) -> f64 {
    let above = own.partition_point(|(at, _)| *at < time);
    let (before, after) = (own[..above].last(), own.get(above));
    let alone = |(at, value): &(f64, f64)| ((at - time).abs() <= HOLDS).then_some(*value);
    let value = match (before, after) {
        (Some((from, low)), Some((to, high))) if to - from <= JOINED => {
            Some(low + (high - low) * (time - from) / (to - from).max(1e-9))
        }
        _ => after.and_then(alone).or_else(|| before.and_then(alone)),
    };
    value.unwrap_or(f64::NAN)
}

/// The line of a channel (column `i`) through samples at their `place`: what it is at 0, and its slope. By its
/// own values; where they are few, by what lies between them, in doubt by a quarter of what it changes there.
fn line(
    channel: Channel,
    i: usize,
    near: &[&Sample],
    place: impl Fn(&&Sample) -> f64,
) -> Option<(Average, f64)> {
    let own = near.iter().filter(|s| s.fresh[i]);
    let few = own.clone().count() < 3;
    let all = near.iter().filter(|s| few || s.fresh[i]);
    let points = all.map(|s| (place(s), s.values[i]));
    let points: Vec<(f64, f64)> = points.filter(|(_, y)| y.is_finite()).collect();
    let (low, high) = points
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| {
            (low.min(p.1), high.max(p.1))
        });
    let (average, slope) = through(channel, points.iter().copied())?;
    let far = if few { 0.25 * (high - low) } else { 0.0 };
    let doubt = average.doubt.hypot(far);
    Some((Average { doubt, ..average }, slope))
}

/// The line through points: what it is at 0, and its slope.
fn through(
    channel: Channel,
    points: impl Iterator<Item = (f64, f64)> + Clone,
) -> Option<(Average, f64)> {
    let (mut xs, mut ys) = (Sums::default(), Sums::default());
    for (x, y) in points.clone() {
        xs.add(x);
        ys.add(y);
    }
    let n = xs.count;
    if n < 3.0 {
        return None;
    }
    let xx = xs.variance() * (n - 1.0);
    let xy: f64 = points
        .clone()
        .map(|(x, y)| (x - xs.mean) * (y - ys.mean))
        .sum();
    let slope = if xx > 0.0 { xy / xx } else { 0.0 };
    let mean = ys.mean - slope * xs.mean;
    let left: f64 = points.map(|(x, y)| (y - mean - slope * x).powi(2)).sum();
    let scatter = (left / (n - 2.0)).sqrt();
    let lever = if xx > 0.0 {
        xs.mean * xs.mean / xx
    } else {
        0.0
    };
    let average = Average {
        channel,
        mean,
        scatter,
        doubt: scatter * (1.0 / n + lever).sqrt(),
        count: n as u64,
    };
    Some((average, slope))
}

/// Collects pulls while a log goes by.
#[derive(Clone, Debug, Default)]
pub(super) struct Pulls {
    running: Vec<Sample>,
    /// What came since the last sample.
    came: Vec<bool>,
    /// Time, s, at which the pedal was last read to be down: what comes after may be driven otherwise.
    sure: f64,
    kept: Vec<Pull>,
    /// Pulls that were not kept, for there were more than enough.
    pub dropped: u64,
}

impl Pulls {
    /// The next row: `held` are the last values, `fresh` those that came now, `down` whether the pedal
    /// is, and whether it was read just now.
    /// A pull that ends with it: from when until when.
    pub fn row(
        &mut self,
        channels: &[Channel],
        time: f64,
        (held, fresh): (&[f64], &[f64]),
        (down, told): (bool, bool),
    ) -> Option<[f64; 2]> {
        if down && told {
            self.sure = time;
        }
        if self.running.is_empty() {
            self.came = vec![false; held.len()];
        }
        for (came, value) in self.came.iter_mut().zip(fresh) {
            *came |= value.is_finite();
        }
        let first = self.running.first().map_or(time, |sample| sample.time);
        if !down || time - first > LONGEST {
            return self.close(channels);
        }
        let last = self
            .running
            .last()
            .map_or(f64::NEG_INFINITY, |sample| sample.time);
        if time - last >= LEAST_STEP * 0.999 {
            let values = held.to_vec();
            let fresh = std::mem::replace(&mut self.came, vec![false; held.len()]);
            self.running.push(Sample {
                time,
                values,
                fresh,
            });
        }
        None
    }

    /// Ends the pull that runs, and says from when until when it was, if it is one.
    pub fn close(&mut self, channels: &[Channel]) -> Option<[f64; 2]> {
        let mut samples = std::mem::take(&mut self.running);
        samples.retain(|sample| sample.time <= self.sure);
        let mut pull = Pull {
            channels: channels.to_vec(),
            samples,
            cut: None,
        };
        pull.end_at_the_limiter();
        pull.place_in_time();
        let rise = |pull: &Pull| {
            let [low, high] = pull.speeds();
            high - low
        };
        if pull.seconds() < LEAST.0 || rise(&pull) < LEAST.1 {
            return None;
        }
        let ends = pull.samples.first().zip(pull.samples.last());
        let ends = ends.map(|(first, last)| [first.time, last.time]);
        self.kept.push(pull);
        if self.kept.len() > MOST {
            self.dropped += 1;
            let least = self.kept.iter().enumerate();
            let least = least.min_by(|a, b| rise(a.1).total_cmp(&rise(b.1)));
            if let Some((i, _)) = least {
                self.kept.remove(i);
            }
        }
        ends
    }

    /// Those kept, in time.
    pub fn finish(mut self, channels: &[Channel]) -> (Vec<Pull>, u64) {
        self.close(channels);
        (self.kept, self.dropped)
    }
}
