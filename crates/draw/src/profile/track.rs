//! From metres along the strip and metres of height to the sheet.

use super::{Against, Climb, FAR, Obstacle, ProfilePicture, length};
use crate::plane::{Point, Rect};

/// Free space inside the frame, left of the start and right of the end. \[px\]
const SIDE: f64 = 24.0;
/// Room for words above what is drawn, and for earth below it. \[px\]
const ABOVE: f64 = 40.0;
const BELOW: f64 = 26.0;
/// What is shown when no length at all is known. \[m\]
const NOTHING: f64 = 1000.0;
/// How many times larger heights may be drawn.
const TIMES: [f64; 15] =
    [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0];

#[derive(Clone, Copy, Debug)]
pub(super) struct Track {
    pub(super) frame: Rect,
    /// What fits across. \[m\]
    pub(super) longest: f64,
    /// Pixels for one metre of length and of height.
    across: f64,
    up: f64,
    slope: f64,
    lowest: f64,
}

/// The points of the way up: on the ground, at the screen, at the end of the picture.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct WayUp {
    pub(super) lift_off: Option<Point>,
    pub(super) screen: Option<Point>,
    pub(super) far: Option<Point>,
}

impl Track {
    pub(super) fn new(picture: &ProfilePicture, frame: Rect) -> Self {
        let longest = longest(picture);
        let across = (frame.width() - 2.0 * SIDE) / longest;
        let slope = picture.sound_slope().unwrap_or(0.0);
        let flat = Self { frame, longest, across, up: 1.0, slope, lowest: 0.0 };
        let heights = heights(picture, &flat);
        let (lowest, highest) = heights
            .into_iter()
            .fold((0.0_f64, 6.0_f64), |(low, high), height| (low.min(height), high.max(height)));
        let room = frame.height() - ABOVE - BELOW;
        let most = room / (highest - lowest);
        let times = TIMES.iter().rev().find(|times| **times * across <= most);
        let up = times.map_or(most, |times| times * across);
        Self { up, lowest, ..flat }
    }

    /// How many times larger heights are drawn than lengths.
    pub(super) fn times(&self) -> f64 {
        self.up / self.across
    }

    pub(super) fn x(&self, distance: f64) -> f64 {
        self.frame.left + SIDE + distance * self.across
    }

    pub(super) fn at(&self, (distance, height): Point) -> Point {
        let y = self.frame.bottom - BELOW - (height - self.lowest) * self.up;
        (self.x(distance), y)
    }

    /// Height of the ground, as if the slope went on for ever. \[m\]
    pub(super) fn ground(&self, distance: f64) -> f64 {
        self.slope * distance
    }

    pub(super) fn on_ground(&self, distance: f64) -> Point {
        self.at((distance, self.ground(distance)))
    }

    /// Right end of what can be drawn. \[m\]
    pub(super) fn end(&self) -> f64 {
        self.longest + 0.6 * SIDE / self.across
    }

    /// The way up in metres, as far as it is known.
    pub(super) fn way_up(&self, climb: &Climb) -> WayUp {
        let lift_off = length(climb.lift_off).map(|distance| (distance, self.ground(distance)));
        let screen = length(climb.screen_at).zip(climb.sound_screen());
        let screen = screen.map(|(at, height)| (at, self.ground(at) + height));
        let far = screen.zip(climb.sound_gradient()).map(|((at, height), gradient)| {
            (self.end(), height + gradient * (self.end() - at).max(0.0))
        });
        WayUp { lift_off, screen, far }
    }

    /// Height of the way up at an obstacle behind the screen. \[m\]
    pub(super) fn passes(&self, climb: &Climb, distance: f64) -> Option<f64> {
        let (at, height) = self.way_up(climb).screen?;
        let gradient = climb.sound_gradient()?;
        (distance >= at).then_some(height + gradient * (distance - at))
    }
}

/// Everything that has a length, so that nothing is cut off. An obstacle far beyond all else is
/// left out and said, because it would make the strip too small to see.
fn longest(picture: &ProfilePicture) -> f64 {
    let strip = strip(picture);
    let obstacles = picture.obstacles.iter().filter(|one| drawn(one, strip));
    let far = obstacles.filter_map(Obstacle::place).map(|(distance, _)| distance);
    let longest = far.fold(strip.unwrap_or(0.0), f64::max);
    if longest < 1.0 { NOTHING } else { longest }
}

fn strip(picture: &ProfilePicture) -> Option<f64> {
    let declared = Against::ALL.into_iter().map(|against| picture.declared(against).metres());
    let needs = picture.needs.iter().flat_map(|need| [need.manual, need.factored]);
    let climb = picture.climb.iter().flat_map(|climb| [climb.lift_off, climb.screen_at]);
    declared.chain(needs.chain(climb).map(length)).flatten().reduce(f64::max)
}

fn drawn(obstacle: &Obstacle, strip: Option<f64>) -> bool {
    let most = strip.map_or(FAR, |strip| 3.0 * strip);
    obstacle.place().is_some_and(|(distance, _)| distance <= most)
}

/// True when an obstacle has its place in the picture.
pub(super) fn shown(picture: &ProfilePicture, obstacle: &Obstacle) -> bool {
    drawn(obstacle, strip(picture))
}

/// Heights that must be inside.
fn heights(picture: &ProfilePicture, flat: &Track) -> Vec<f64> {
    let mut heights = vec![flat.ground(flat.longest)];
    let shown: Vec<_> = picture.obstacles.iter().filter(|one| shown(picture, one)).collect();
    heights.extend(shown.iter().filter_map(|one| one.place()).map(|(_, height)| height));
    if let Some(climb) = &picture.climb {
        heights.extend(flat.way_up(climb).screen.map(|(_, height)| height));
        let places = shown.iter().filter_map(|one| one.place());
        heights.extend(places.filter_map(|(distance, _)| flat.passes(climb, distance)));
    }
    heights
}

#[cfg(test)]
mod tests {
    use super::super::tests::short;
    use super::*;

    const FRAME: Rect = Rect { left: 10.0, top: 60.0, right: 380.0, bottom: 270.0 };

    #[test]
    fn heights_are_a_round_number_of_times_larger_and_all_is_inside() {
        let picture = short();
        let track = Track::new(&picture, FRAME);
        assert!(TIMES.iter().any(|times| (track.times() - times).abs() < 1e-9));
        for obstacle in &picture.obstacles {
            assert!(FRAME.covers(Rect::around(track.at(obstacle.place().unwrap()), (2.0, 2.0))));
        }
        let (zero, hundred) = (track.at((0.0, 0.0)), track.at((100.0, 10.0)));
        let share = (zero.1 - hundred.1) / (hundred.0 - zero.0);
        assert!((share - 0.1 * track.times()).abs() < 1e-9);
    }

    #[test]
    fn the_line_passes_an_obstacle_at_screen_height_plus_the_climb_from_there() {
        let picture = short();
        let track = Track::new(&picture, FRAME);
        let climb = Climb {
            screen_at: Some(500.0),
            screen: 15.0,
            gradient: Some(0.06),
            ..picture.climb.clone().unwrap()
        };
        // 2 % of 500 m, 15 m above it, 6 % of the next 200 m.
        let height = track.passes(&climb, 700.0).unwrap();
        assert!((height - (track.ground(500.0) + 15.0 + 12.0)).abs() < 1e-9);
        assert_eq!(track.passes(&climb, 499.0), None);
    }
}
