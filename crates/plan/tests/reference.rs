//! Check values that were computed elsewhere: loadings, knapsacks and bins, by the same search.

#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used, reason = "tests")]

use stillprop_calc::{
    envelope::{Corner, Envelope},
    quantity::{FromAmount, Length, Mass},
};
use stillprop_plan::{
    budget::Budget,
    stow::{Alone, Found, Frame, Next, Place, Stowage, Thing, Window},
};
use toml::{Table, Value};

fn read(text: &str, kind: &str) -> Vec<Table> {
    let table: Table = text.parse().expect("TOML");
    let list = table[kind].as_array().expect("a list").clone();
    list.into_iter().map(|value| value.as_table().expect("a table").clone()).collect()
}

fn number(value: &Value) -> f64 {
    value.as_float().or_else(|| value.as_integer().map(|n| n as f64)).expect("a number")
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().expect("a list").iter().map(number).collect()
}

/// The cheapest arrangement; `None` when there is none.
fn cheapest(stowage: &Stowage, mut frame: Frame) -> Option<Found> {
    let mut best: Option<Found> = None;
    let mut idle = || false;
    let whole =
        stowage.search(&mut frame, &mut Budget::new(u64::MAX, &mut idle), &mut |found, frame| {
            best = Some(found.clone());
            frame.cost = found.cost.saturating_sub(1);
            if found.cost == 0 { Next::Enough } else { Next::Go }
        });
    assert!(whole, "it was cut short");
    best
}

fn up_to(most: f64) -> Window {
    Window { least: 0.0, most }
}

fn loads(loads: Vec<Window>) -> Frame {
    Frame {
        moment: Window::ANY,
        lateral: Window::ANY,
        loads,
        cost: u64::MAX,
        items: Alone::UNKNOWN,
        pairs: Vec::new(),
    }
}

const NOWHERE: Place = Place { arm: 0.0, lateral: 0.0, seats: 0, row: 0 };

#[test]
fn knapsacks_have_their_proved_optima() {
    let cases = read(include_str!("reference/packing.toml"), "knapsack");
    assert_eq!(cases.len(), 5);
    for case in &cases {
        let (weights, profits) = (numbers(&case["weights"]), numbers(&case["profits"]));
        // In the sack at no cost, or left out at the cost of its profit.
        let thing = |(mass, profit): (&f64, &f64)| Thing {
            mass: *mass,
            seated: false,
            places: 0b11,
            cost: vec![0, *profit as u64],
            kind: 0,
        };
        let things = weights.iter().zip(&profits).map(thing).collect();
        let stowage = Stowage::new(vec![NOWHERE; 2], things, Vec::new());
        let frame = loads(vec![up_to(number(&case["capacity"])), Window::ANY]);
        let lost = cheapest(&stowage, frame).expect("everything left out").cost;
        let gained = profits.iter().sum::<f64>() as u64 - lost;
        assert_eq!(gained, number(&case["optimum"]) as u64, "{:?}", case["name"]);
    }
}

#[test]
fn bins_are_as_few_as_proved() {
    let cases = read(include_str!("reference/packing.toml"), "bins");
    assert_eq!(cases.len(), 3);
    for case in &cases {
        let (items, capacity) = (numbers(&case["items"]), number(&case["capacity"]));
        let fits = |bins: usize| {
            let thing = |mass: &f64| Thing {
                mass: *mass,
                seated: false,
                places: (1 << bins) - 1,
                cost: vec![0; bins],
                kind: 0,
            };
            let things = items.iter().map(thing).collect();
            let stowage = Stowage::new(vec![NOWHERE; bins], things, Vec::new());
            cheapest(&stowage, loads(vec![up_to(capacity); bins])).is_some()
        };
        let fewest = (1..=items.len()).find(|bins| fits(*bins));
        assert_eq!(fewest, Some(number(&case["fewest"]) as usize));
    }
}

/// A loading as the file has it.
struct Loading<'a> {
    case: &'a Table,
    envelope: Envelope,
    people: Vec<f64>,
    bags: Vec<f64>,
}

impl<'a> Loading<'a> {
    fn of(case: &'a Table) -> Self {
        let corners = case["envelope"].as_array().unwrap().iter().map(|corner| {
            let [mass, arm] = numbers(corner)[..] else { panic!("a corner") };
            Corner { arm: Length::from_si(arm), mass: Mass::from_si(mass) }
        });
        Self {
            case,
            envelope: Envelope::new(corners.collect()).expect("an envelope"),
            people: numbers(&case["people"]),
            bags: numbers(&case["bags"]),
        }
    }

    /// Mass and moment without fuel and load.
    fn empty(&self) -> (f64, f64) {
        let [mass, arm] = numbers(&self.case["empty"])[..] else { panic!("mass and arm") };
        (mass, mass * arm)
    }

    fn fuel(&self, litres: f64) -> (f64, f64) {
        let fuel = &self.case["fuel"];
        let mass = litres * number(&fuel["density"]);
        (mass, mass * number(&fuel["arm"]))
    }

    /// Front, rear, baggage, and left behind.
    fn stowage(&self) -> Stowage {
        let arms = numbers(&self.case["arms"]);
        let place = |arm: f64, seats: u8| Place { arm, lateral: 0.0, seats, row: 0 };
        let places = vec![place(arms[0], 2), place(arms[1], 2), place(arms[2], 0), NOWHERE];
        let person = |(at, mass): (usize, &f64)| Thing {
            mass: *mass,
            seated: true,
            places: if at == 0 { 0b1 } else { 0b11 },
            cost: vec![0; 4],
            kind: 0,
        };
        let bag = |mass: &f64| Thing {
            mass: *mass,
            seated: false,
            places: 0b1100,
            cost: vec![0, 0, 0, *mass as u64],
            kind: 0,
        };
        let people = self.people.iter().enumerate().map(person);
        Stowage::new(places, people.chain(self.bags.iter().map(bag)).collect(), Vec::new())
    }

    /// An arrangement with so much left behind and so many litres.
    fn arranged(&self, left: f64, litres: f64) -> Option<Found> {
        let (dry, fuel) = (self.empty(), self.fuel(litres));
        let load = self.people.iter().chain(&self.bags).sum::<f64>() - left;
        let (light, heavy) = (dry.0 + load, dry.0 + load + fuel.0);
        if heavy > number(&self.case["take_off_mass"]) + 1e-9 {
            return None;
        }
        let mut moment = Window::ANY;
        for (mass, so_far) in [(light, dry.1), (heavy, dry.1 + fuel.1)] {
            let cut = self.envelope.cut(Mass::from_si(mass));
            moment.least = moment.least.max(mass * cut.forward.value - so_far - 1e-9);
            moment.most = moment.most.min(mass * cut.aft.value - so_far + 1e-9);
        }
        let limit = number(&self.case["bag_limit"]);
        let behind = Window { least: left, most: left };
        let all = vec![Window::ANY, Window::ANY, up_to(limit), behind];
        cheapest(&self.stowage(), Frame { moment, ..loads(all) })
    }
}

#[test]
fn loadings_have_the_optima_of_trying_everything() {
    let cases = read(include_str!("reference/loading.toml"), "loading");
    assert_eq!(cases.len(), 6);
    let mut none = 0;
    for case in &cases {
        let loading = Loading::of(case);
        let all: f64 = loading.bags.iter().sum();
        let most = number(&case["fuel"]["most"]) as i64;
        let kilos = 0..=all as i64;
        let found = kilos.flat_map(|left| (0..=most).rev().map(move |litres| (left, litres)));
        let found = found
            .map(|(left, litres)| (left as f64, litres as f64))
            .find(|(left, litres)| loading.arranged(*left, *litres).is_some());
        let Some(optimum) = case.get("optimum") else {
            assert_eq!(found, None);
            none += 1;
            continue;
        };
        let (left, litres) = found.expect("a loading");
        assert!((all - left - number(&optimum["bags"])).abs() < 1e-9);
        assert!((litres - number(&optimum["fuel"])).abs() < 1e-9);
        let people: f64 = loading.people.iter().sum();
        let mass = loading.empty().0 + people + all - left + loading.fuel(litres).0;
        assert!((mass - number(&optimum["mass"])).abs() < 1e-6);
    }
    assert_eq!(none, 1, "one has no loading at all");
}

/// Two lockers with one arm and different room: what is too heavy for the first goes into the second.
#[test]
fn places_alike_but_for_their_room_are_both_tried() {
    let place = Place { arm: 1.0, lateral: 0.0, seats: 0, row: 0 };
    let bag = Thing { mass: 20.0, seated: false, places: 0b11, cost: vec![0, 0], kind: 0 };
    let stowage = Stowage::new(vec![place; 2], vec![bag], Vec::new());
    let found = cheapest(&stowage, loads(vec![up_to(10.0), up_to(30.0)])).expect("the second");
    assert_eq!(found.place_of, [1]);
}

/// Eleven people in twelve seats with limits, the roomiest way: once something is found, what is
/// already too full for better is left at once. Without that there are millions of arrangements.
#[test]
fn a_frame_that_becomes_narrower_is_proved_in_few_steps() {
    let most = [131.0, 117.0, 126.0, 112.0, 133.0, 120.0, 111.0, 136.0, 125.0, 118.0, 129.0, 114.0];
    let masses = [79.0, 65.0, 60.0, 76.0, 70.0, 55.0, 91.0, 100.0, 66.0, 49.0, 52.0];
    let place = |p: usize| Place { arm: p as f64, lateral: 0.0, seats: 1, row: 0 };
    let person =
        |mass: &f64| Thing { mass: *mass, seated: true, places: 0xFFF, cost: vec![0; 12], kind: 0 };
    let stowage =
        Stowage::new((0..12).map(place).collect(), masses.iter().map(person).collect(), Vec::new());
    let level = |share: f64| most.iter().map(|most| up_to(most * (1.0 - share))).collect();
    let mut reached = 0.0_f64;
    let mut idle = || false;
    let mut budget = Budget::new(20_000, &mut idle);
    let whole = stowage.search(&mut loads(level(0.0)), &mut budget, &mut |found, frame| {
        let shares = found.loads.iter().zip(&most).map(|(load, most)| (most - load) / most);
        reached = reached.max(shares.fold(1.0, f64::min));
        frame.loads = level(reached + 1e-4);
        Next::Go
    });
    assert!(whole, "{} steps", budget.spent());
    // The heaviest in the roomiest seats bound it from above: 100 of 136, then 91 of 133.
    assert!(reached <= (136.0 - 100.0) / 136.0 + 1e-9 && reached > 0.2, "{reached}");
}
