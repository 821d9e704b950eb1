//! One link at the end of a step, as an SVG with its calliper measures: for whoever has no canvas.

use super::{Camera, Chapter, Drawing, PIXELS_PER_MM, Theme, Window, moment, svg};
use crate::documents::units::LengthUnit;
use crate::geometry::link::Forming;

/// How a link is drawn.
#[derive(Clone, Copy, Debug)]
pub struct LinkPicture<'a> {
    /// The step at whose end it is drawn; after the last the next link is beside it.
    pub step: Chapter,
    /// Where the solder seam lies, as a part of the wire's length; none where it is not settled.
    pub seam: Option<f64>,
    /// The size it is made for, in CSS pixels.
    pub window: Window,
    /// What its measures speak.
    pub unit: LengthUnit,
    /// Its colours.
    pub theme: &'a Theme,
}

impl LinkPicture<'_> {
    /// The SVG of `forming`, called `title`; its `viewBox` is in millimetres of the link.
    pub fn svg(&self, forming: &Forming, title: &str) -> String {
        let scene = moment(forming, self.step.end()).soldered(self.seam);
        let fit = scene.fit(scene.home, self.window);
        let view = Camera::default().view(scene.home, fit, self.window);
        let mut drawing = Drawing::default();
        scene.draw_into(&view, self.unit, &mut drawing);
        svg(&drawing, view.half(), 1.0 / (PIXELS_PER_MM * view.mm(1.0)), self.theme, title)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::design::Design;

    #[test]
    fn every_step_is_drawn_with_its_measures() {
        let formings = Design::plain(0.9, 12.0).formings().unwrap();
        let window = Window { width: 400.0, height: 300.0 };
        for (step, measure) in
            [(Chapter::Stretch, "width"), (Chapter::Pinch, "bore"), (Chapter::Fold, "height")]
        {
            let (unit, theme) = (LengthUnit::Mm, &Theme::LIGHT);
            let text =
                LinkPicture { step, seam: None, window, unit, theme }.svg(&formings[0], "a link");
            assert!(text.starts_with("<svg ") && text.contains("<title>a link</title>"), "{text}");
            assert!(text.contains(measure) && text.contains(" mm</text>"), "{step:?}: {text}");
        }
    }
}
