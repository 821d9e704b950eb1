//! The work step by step as pictures: one, all side by side, or a numbered row of them to be made into a film.

use super::documents::{CheckError, read, taught};
use clap::{Args, ValueEnum};
use linkfold::documents::design::{Design, Lesson};
use linkfold::render::{MetalLook, Taught, Theme, Window};
use std::path::PathBuf;

/// What is drawn.
#[derive(Args)]
pub struct PictureArguments {
    /// The design's file, or - for standard input
    pub file: PathBuf,
    /// One step instead of those from ring to chain side by side
    #[arg(long, value_enum)]
    step: Option<WhichStep>,
    /// So many pictures of the whole work, or of the step, one after the other, numbered, instead of one
    #[arg(long, requires = "into", value_parser = clap::value_parser!(u16).range(2..=2000))]
    frames: Option<u16>,
    /// The folder they are written into; made where it is not there
    #[arg(long, requires = "frames")]
    into: Option<PathBuf>,
}

/// A step of the work.
#[derive(Clone, Copy, ValueEnum)]
enum WhichStep {
    /// Wound on the mandrel
    Wind,
    /// Sawn into rings
    Saw,
    /// Soldered shut
    #[value(alias = "ring")]
    Solder,
    /// Stretched
    Oval,
    /// Pinched
    Eight,
    /// Folded
    Fold,
    /// The next loop's tip through the first opening
    #[value(alias = "through")]
    First,
    /// Its widest part through the second
    Second,
    /// Turned at its waist
    Turn,
    /// Bent up and shut
    Close,
    /// Five loops
    #[value(alias = "joined")]
    Chain,
    /// Bent in the hand
    Bend,
}

/// Size of a picture of many, CSS pixels: half of 1920 × 1080.
const FRAME: Window = Window { width: 960.0, height: 540.0 };

/// Draws what is asked for; what is to be printed.
pub fn picture(asked: &PictureArguments) -> Result<String, CheckError> {
    let design = read(&asked.file)?;
    let step = asked.step.map(|step| Lesson::ALL[step as usize]);
    let theme = Theme::LIGHT.in_metal(MetalLook::of(&design.metal.id));
    let drawn = taught(&design, |taught| {
        let size = taught.first()?;
        Some(match (asked.frames.zip(asked.into.as_ref()), step) {
            (Some((count, into)), _) => frames(size, step, usize::from(count), into, theme),
            (None, Some(step)) => Ok(size.picture(step, theme)),
            (None, None) => Ok(size.pictures(theme, title(&design))),
        })
    })?;
    drawn.ok_or(CheckError::Unformed)?
}

fn title(design: &Design) -> &str {
    if design.name.is_empty() { "Ring to chain" } else { &design.name }
}

fn frames(
    taught: &Taught,
    step: Option<Lesson>,
    count: usize,
    into: &PathBuf,
    theme: &Theme,
) -> Result<String, CheckError> {
    let unwritten = |cause| CheckError::Unwritten { place: into.display().to_string(), cause };
    std::fs::create_dir_all(into).map_err(unwritten)?;
    for i in 0..count {
        let share = i as f64 / (count - 1) as f64;
        let (step, done) = match step {
            Some(step) => (step, share),
            None => {
                let time = share * Lesson::ALL.len() as f64;
                let index = (time as usize).min(Lesson::ALL.len() - 1);
                (Lesson::ALL[index], time - index as f64)
            }
        };
        let text = taught.frame(step, done, FRAME, theme);
        std::fs::write(into.join(format!("{:04}.svg", i + 1)), text).map_err(unwritten)?;
    }
    Ok(format!("{count} pictures in {}, 0001.svg to {count:04}.svg", into.display()))
}
