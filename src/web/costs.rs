//! The bench kept from visit to visit, and its prices and minutes as typed on the page.

use super::page::Page;
use super::shelf::BrowserShelf;
use crate::app::Message;
use crate::documents::bench::Bench;
use crate::documents::storage::{self, Storage};
use web_sys::{HtmlInputElement, Window};

/// Where a number of the bench is kept.
type Kept = fn(&mut Bench) -> &mut f64;

/// The numbers: the input's id and where each is kept.
const NUMBERS: [(&str, Kept); 12] = [
    ("cost-metal", |bench| &mut bench.prices.metal_per_gram),
    ("cost-solder", |bench| &mut bench.prices.solder_per_ring),
    ("cost-fixed", |bench| &mut bench.prices.fixed),
    ("cost-hour", |bench| &mut bench.hourly_rate),
    ("minutes-wind", |bench| &mut bench.minutes.wind),
    ("minutes-saw", |bench| &mut bench.minutes.saw),
    ("minutes-solder", |bench| &mut bench.minutes.solder),
    ("minutes-stretch", |bench| &mut bench.minutes.stretch),
    ("minutes-pinch", |bench| &mut bench.minutes.pinch),
    ("minutes-fold", |bench| &mut bench.minutes.fold),
    ("minutes-join", |bench| &mut bench.minutes.join),
    ("minutes-anneal", |bench| &mut bench.minutes.anneal),
];
const CURRENCY: &str = "cost-currency";
/// What the browser keeps the bench as.
const KEPT: &str = "linkfold.bench";

/// The bench kept at the last visit, an empty one where there is none that can be read; and what
/// there is to say about it.
pub fn kept_bench(browser: &Window) -> (Bench, Option<String>) {
    let shelf = BrowserShelf::lasting(browser);
    let Ok(Some(text)) = shelf.read(KEPT) else { return (Bench::default(), None) };
    let why = match Bench::parse(&text) {
        Ok(bench) => return (bench, None),
        Err(error) => error.to_string(),
    };
    let so = match storage::put_aside(&shelf, KEPT, &text) {
        Ok(()) => "It is put aside, under Designs",
        Err(_) => "There is no room to put it aside, so what you change of it is not kept",
    };
    let words = format!("The bench of the last visit cannot be read ({why}). {so}.");
    (Bench::default(), Some(words))
}

/// Whether the input `id` is one of the bench's prices and minutes.
pub fn is_cost(id: &str) -> bool {
    id == CURRENCY || NUMBERS.iter().any(|(known, _)| *known == id)
}

impl Page {
    /// Writes what the bench holds into the inputs.
    pub fn fill_costs(&self) {
        let mut bench = self.model.bench.clone();
        let put = |id: &str, text: &str| {
            if let Some(input) = self.elements.get::<HtmlInputElement>(id) {
                input.set_value(text);
            }
        };
        for (id, kept) in NUMBERS {
            put(id, &kept(&mut bench).to_string());
        }
        put(CURRENCY, &bench.currency);
    }

    /// Takes what was typed, or says what is wrong and keeps the bench as it was. Left empty, a price
    /// is not reckoned and a step takes its usual minutes.
    pub fn read_costs(&mut self) {
        let (mut bench, mut usual) = (self.model.bench.clone(), Bench::default());
        let mut read = || -> Result<(), String> {
            for (id, kept) in NUMBERS {
                let typed = self.elements.value(id);
                let typed = typed.trim().replace(',', ".");
                *kept(&mut bench) = if typed.is_empty() {
                    *kept(&mut usual)
                } else {
                    typed.parse().map_err(|_| format!("\u{201c}{typed}\u{201d} is not a number"))?
                };
            }
            bench.currency = self.elements.value(CURRENCY).trim().to_owned();
            bench.check().map_err(|error| error.to_string())
        };
        match read() {
            Ok(()) => {
                self.elements.say("cost-problem", "");
                self.take_bench(bench);
            }
            Err(words) => {
                let words = format!("Prices and minutes: {words}. The bench stays as it was.");
                self.elements.say("cost-problem", &words);
            }
        }
    }

    /// Reckons with another bench from now on.
    pub fn take_bench(&mut self, bench: Bench) {
        self.send(Message::BenchChanged(Box::new(bench)));
        let shelf = BrowserShelf::lasting(&self.browser);
        let text = self.model.bench.to_json();
        let words = match storage::replace(&shelf, KEPT, &text, |there| Bench::parse(there).is_ok())
        {
            Ok(()) => String::new(),
            Err(error) => format!("What you change of the bench is not kept: {error}."),
        };
        self.elements.say("bench-unkept", &words);
    }
}
