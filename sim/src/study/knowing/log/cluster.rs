//! Windows of one condition put together.

use super::{Average, Channel, Window};

/// Windows kept; the shortest go first.
const MOST: usize = 60;
/// Engine speeds count as one condition within this share or this many rpm (own choice).
const ALIKE_SPEED: (f64, f64) = (0.025, 40.0);
/// Loads within this share of each other, pedals within this share of travel (own choice).
const ALIKE: (f64, f64) = (0.06, 0.03);

/// A channel over the pieces, each weighted by its length.
#[derive(Clone, Copy, Debug, Default)]
struct Pool {
    pieces: f64,
    weight: f64,
    mean: f64,
    between: f64,
    within: f64,
    scatter: f64,
    count: u64,
}

impl Pool {
    fn add(&mut self, weight: f64, average: &Average) {
        self.pieces += 1.0;
        let all = self.weight + weight;
        let off = average.mean - self.mean;
        self.mean += off * weight / all;
        self.between += off * off * self.weight * weight / all;
        self.within += (weight * average.doubt).powi(2);
        self.scatter += weight * average.scatter * average.scatter;
        self.weight = all;
        self.count += average.count;
    }

    /// The doubt is what the pieces say of themselves, or what lies between them if
    /// that is more.
    fn average(&self, channel: Channel) -> Option<Average> {
        if self.weight <= 0.0 {
            return None;
        }
        let within = self.within / (self.weight * self.weight);
        let between = self.between / self.weight / (self.pieces - 1.0).max(1.0);
        Some(Average {
            channel,
            mean: self.mean,
            scatter: (self.scatter / self.weight + self.between / self.weight).sqrt(),
            doubt: within.max(between).sqrt(),
            count: self.count,
        })
    }
}

#[derive(Clone, Debug)]
struct Cluster {
    window: Window,
    pools: Vec<Pool>,
}

/// The conditions found so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Clusters {
    kept: Vec<Cluster>,
    /// Seconds of windows that were not kept.
    pub dropped: f64,
}

fn alike(a: &Window, b: &Window) -> bool {
    let (share, rpm) = ALIKE_SPEED;
    let near = |x: f64, y: f64, share: f64, least: f64| {
        (x - y).abs() <= (share * 0.5 * (x + y).abs()).max(least)
    };
    let load = match (a.load, b.load) {
        (Some((_, x)), Some((_, y))) => near(x, y, ALIKE.0, 0.0),
        (x, y) => x.is_none() && y.is_none(),
    };
    let pedal = match (a.pedal, b.pedal) {
        (Some(x), Some(y)) => near(x, y, 0.0, ALIKE.1),
        (x, y) => x.is_none() && y.is_none(),
    };
    let gear = |w: &Window| w.get(Channel::Gear).map(|gear| gear.mean.round());
    a.kind == b.kind && near(a.speed, b.speed, share, rpm) && load && pedal && gear(a) == gear(b)
}

impl Clusters {
    /// A window that was found; `averages` one a channel.
    pub fn add(&mut self, window: Window, averages: &[Option<Average>]) {
        let found = self.kept.iter().position(|c| alike(&c.window, &window));
        let seconds = window.seconds;
        let i = found.unwrap_or_else(|| {
            self.kept.push(Cluster {
                window: Window {
                    seconds: 0.0,
                    pieces: 0,
                    ..window.clone()
                },
                pools: vec![Pool::default(); averages.len()],
            });
            self.kept.len() - 1
        });
        let cluster = &mut self.kept[i];
        for (pool, average) in cluster.pools.iter_mut().zip(averages) {
            if let Some(average) = average {
                pool.add(seconds, average);
            }
        }
        let own = &mut cluster.window;
        let share = seconds / (own.seconds + seconds);
        let blend = |old: f64, new: f64| old + (new - old) * share;
        own.speed = blend(own.speed, window.speed);
        own.load = own
            .load
            .zip(window.load)
            .map(|(x, y)| (x.0, blend(x.1, y.1)));
        own.pedal = own.pedal.zip(window.pedal).map(|(x, y)| blend(x, y));
        own.seconds += seconds;
        own.pieces += 1;
        if self.kept.len() > MOST {
            let least = self.kept.iter().enumerate();
            let least = least.min_by(|a, b| a.1.window.seconds.total_cmp(&b.1.window.seconds));
            if let Some((i, _)) = least {
                self.dropped += self.kept.remove(i).window.seconds;
            }
        }
    }

    /// The windows, idle first, then by engine speed.
    pub fn finish(self, channels: &[Channel]) -> Vec<Window> {
        let mut windows: Vec<Window> = (self.kept.into_iter())
            .map(|cluster| {
                let pools = cluster.pools.iter().zip(channels);
                Window {
                    averages: pools.filter_map(|(pool, c)| pool.average(*c)).collect(),
                    ..cluster.window
                }
            })
            .collect();
        windows.sort_by(|a, b| a.kind.cmp(&b.kind).then(a.speed.total_cmp(&b.speed)));
        windows
    }
}
