//! The page with its opening design already on it: verdict, figures and picture stand in
//! `index.html` before any script runs, and the module takes over in place.
//!
//! What stands where is what the page's own views say ([`screen`]); here it is only written as
//! HTML. The picture is drawn for a wide and for a narrow window, in colours that the stylesheet
//! chooses.

use linkfold::answers::build::BuildError;
use linkfold::app::views::{Shown, picture};
use linkfold::app::{Analysis, Content, Model, Node, Property, Screen, examples, screen};
use linkfold::documents::bench::Bench;
use linkfold::documents::design::Design;
use linkfold::documents::units::LengthUnit;
use linkfold::render::{Camera, Drawing, PIXELS_PER_MM, Theme, Tone, Window, svg};
use std::collections::BTreeMap;
use std::fmt::Write;

/// The windows the picture is drawn for: the canvas at a desk and on a phone, CSS pixels.
const WINDOWS: [(&str, Window); 2] = [
    ("wide", Window { width: 720.0, height: 500.0 }),
    ("narrow", Window { width: 340.0, height: 400.0 }),
];

/// The wires, drawn once.
const LINK: &str = "opening-link";

/// Where the picture stands.
const PLACE: &str = "<div id=\"opening\" aria-hidden=\"true\"></div>";

/// Why the page cannot be written so.
#[derive(Debug, thiserror::Error)]
pub enum OpeningError {
    /// The opening design is at fault.
    #[error("the opening design cannot be worked")]
    Design(#[from] BuildError),
    /// The page lacks what is filled in.
    #[error("index.html has no {0}")]
    Missing(String),
}

/// `index.html` and `style.css` with the opening design on them.
pub fn opened(html: &str, style: &str) -> Result<(String, String), OpeningError> {
    let examples: Vec<Design> = examples().flatten().collect();
    let first = examples.first().cloned();
    let first = first.ok_or_else(|| OpeningError::Missing("opening design".into()))?;
    let mut model = Model::new(Analysis::of(first, 0, LengthUnit::Mm)?, Bench::default());
    model.set_examples(examples);
    let mut shown = screen(&model);
    let (pictures, caption) = pictures(&model)?;
    shown.say("caption", &caption);
    // Offered at a first visit, which this is until the page knows better.
    shown.reveal("offer", true);
    let (pictures, colours) = in_variables(&pictures);
    let html = filled(html, &shown);
    if html.matches(PLACE).count() != 1 {
        return Err(OpeningError::Missing(PLACE.into()));
    }
    let place = format!("{}{pictures}</div>", PLACE.trim_end_matches("</div>"));
    Ok((html.replacen(PLACE, &place, 1), format!("{style}{colours}")))
}

/// The picture for each window in each theme, and its caption. The link is drawn once, for the
/// first window; the other shows it again with measures of its own.
fn pictures(model: &Model) -> Result<(Vec<[String; 4]>, String), OpeningError> {
    let missing = || OpeningError::Missing("picture of the opening design".into());
    let mut made = Vec::new();
    let mut caption = String::new();
    let mut first_at = None;
    for (name, window) in WINDOWS {
        let drawn = picture(model, window).ok_or_else(missing)?;
        let Shown::Scene(scene) = drawn.shown else { return Err(missing()) };
        let view = Camera::default().view(scene.home, scene.fit(scene.home, window), window);
        let mut measures = Drawing::default();
        scene.draw_into(&view, LengthUnit::Mm, &mut measures);
        let is_link = |tone| matches!(tone, Tone::Metal { .. } | Tone::Rim);
        let wires = measures.marks.iter().take_while(|mark| is_link(mark.tone())).count();
        let mut link = measures.clone();
        measures.marks.drain(..wires);
        link.marks.truncate(wires);
        let at = link.extents(|_| true).ok_or_else(missing)?;
        let from = *first_at.get_or_insert(at);
        let moved = [0, 1].map(|i| 0.5 * (at[0][i] + at[1][i] - from[0][i] - from[1][i]));
        let paper = 1.0 / (PIXELS_PER_MM * view.mm(1.0));
        made.push(Theme::ALL.map(|theme| {
            let text = |drawing| svg(drawing, view.half(), paper, theme, "");
            let link = if made.is_empty() {
                format!("<g id=\"{LINK}\">{}</g>", marks(&text(&link)))
            } else {
                let [x, y] = moved;
                // In single quotes: what follows a double one and # is taken for a colour.
                format!("<use href='#{LINK}' transform=\"translate({x:.3} {:.3})\"/>", -y)
            };
            on_the_page(&text(&measures), name, &link)
        }));
        caption = drawn.caption;
    }
    Ok((made, caption))
}

/// The lines of a drawing's marks in its file.
fn marks(svg: &str) -> String {
    let is_mark = |line: &&str| {
        !["<svg ", "<title>", "<rect ", "</svg>"].iter().any(|tag| line.starts_with(tag))
    };
    svg.lines().filter(is_mark).collect()
}

/// As a part of the page, over `link`: without a size and a paper of its own.
fn on_the_page(svg: &str, name: &str, link: &str) -> String {
    let view = svg.find(" viewBox=").unwrap_or(0);
    let end = svg.find(">\n").unwrap_or(view);
    format!("<svg class=\"{name}\"{}>{link}{}</svg>", &svg[view..end], marks(svg))
}

/// The pictures with a variable for each colour, and the rules that set them in each theme.
fn in_variables(pictures: &[[String; 4]]) -> (String, String) {
    let mut known: BTreeMap<[&str; 4], usize> = BTreeMap::new();
    let mut text = String::new();
    for themed in pictures {
        // They differ in colours only, so that they part in the same places.
        let mut parts = themed.each_ref().map(|text| text.split("=\"#"));
        text.push_str(parts[0].next().unwrap_or_default());
        for rest in &mut parts[1..] {
            rest.next();
        }
        while let [Some(a), Some(b), Some(c), Some(d)] = parts.each_mut().map(Iterator::next) {
            let colours = [a, b, c, d].map(|part| part.split('"').next().unwrap_or_default());
            let next = known.len();
            let index = *known.entry(colours).or_insert(next);
            // Writing to a String cannot fail.
            let _ = write!(text, "=\"var(--o{index}){}", &a[colours[0].len()..]);
        }
    }
    let rule = |theme: usize| {
        let set = known.iter().map(|(colours, index)| format!("--o{index}:#{}", colours[theme]));
        set.collect::<Vec<_>>().join(";")
    };
    let [light, dark, contrast, contrast_dark] = [0, 1, 2, 3].map(rule);
    let rules = format!(
        "\n:root,:root[data-colours=\"light\"]{{{light}}}\n\
         :root[data-colours=\"dark\"]{{{dark}}}\n\
         :root[data-colours=\"contrast-light\"]{{{contrast}}}\n\
         :root[data-colours=\"contrast-dark\"]{{{contrast_dark}}}\n\
         @media (prefers-color-scheme:dark){{:root:not([data-colours]){{{dark}}}}}\n"
    );
    (text, rules)
}

/// `html` with what `screen` says written into it. An element that is not there is passed over,
/// as the page itself does.
fn filled(html: &str, screen: &Screen) -> String {
    let mut html = html.to_string();
    for (id, property, content) in screen.parts() {
        let Some(tag) = Tag::found(&html, id) else { continue };
        let changed = match (property, content) {
            (Property::Text, Content::Words(words)) => tag.holding(&html, &escaped(words)),
            (Property::Children, Content::Nodes(nodes)) => {
                tag.holding(&html, &nodes.iter().map(written).collect::<String>())
            }
            (Property::Shown, Content::Flag(shown)) => tag.marked(&html, "hidden", !shown),
            (Property::Ticked, Content::Flag(ticked)) => tag.marked(&html, "checked", *ticked),
            (Property::Attribute(name), Content::Words(words)) => tag.with(&html, name, words),
            (Property::Value, Content::Words(words)) if tag.name == "select" => {
                tag.chosen(&html, words)
            }
            (Property::Value, Content::Words(words)) if tag.name == "input" => {
                tag.with(&html, "value", words)
            }
            _ => None,
        };
        html = changed.unwrap_or(html);
    }
    html
}

/// An element's opening tag in a page.
struct Tag<'a> {
    name: &'a str,
    /// From its `<` to behind its `>`.
    at: std::ops::Range<usize>,
}

impl<'a> Tag<'a> {
    /// That of the element a view calls `id`: `@field` is the input of a field, `:root` the page.
    fn found(html: &'a str, id: &str) -> Option<Tag<'a>> {
        let mark = match id.strip_prefix('@') {
            _ if id == ":root" => "<html".to_string(),
            Some(field) => format!(" data-field=\"{field}\""),
            None => format!(" id=\"{id}\""),
        };
        let inside = html.find(&mark)? + 1;
        let start = html[..inside].rfind('<')?;
        let end = inside + html[inside..].find('>')? + 1;
        let name = html[start + 1..end].split([' ', '>']).next()?;
        Some(Tag { name, at: start..end })
    }

    /// The page with `content` in the element, which holds no other element of its kind.
    fn holding(&self, html: &str, content: &str) -> Option<String> {
        let close = html[self.at.end..].find(&format!("</{}>", self.name))? + self.at.end;
        Some(format!("{}{content}{}", &html[..self.at.end], &html[close..]))
    }

    /// The page with an attribute that is there or not.
    fn marked(&self, html: &str, name: &str, there: bool) -> Option<String> {
        let tag = &html[self.at.clone()];
        let (mark, open) = (format!(" {name}"), tag.strip_suffix('>')?);
        let bare = open.strip_suffix(&mark).map(String::from);
        let bare = bare.unwrap_or_else(|| open.replace(&format!("{mark} "), " "));
        let end = if there { mark.as_str() } else { "" };
        Some(format!("{}{bare}{end}>{}", &html[..self.at.start], &html[self.at.end..]))
    }

    /// The page with an attribute of this value.
    fn with(&self, html: &str, name: &str, value: &str) -> Option<String> {
        let tag = &html[self.at.clone()];
        let mut bare = tag.strip_suffix('>')?.to_string();
        let open = format!(" {name}=\"");
        if let Some(start) = bare.find(&open) {
            let end = start + open.len() + bare[start + open.len()..].find('"')? + 1;
            bare.replace_range(start..end, "");
        }
        let (before, after) = (&html[..self.at.start], &html[self.at.end..]);
        Some(format!("{before}{bare} {name}=\"{}\">{after}", escaped(value)))
    }

    /// The page with an entry of the list chosen.
    fn chosen(&self, html: &str, value: &str) -> Option<String> {
        let close = html[self.at.end..].find("</select>")? + self.at.end;
        let entry = format!("<option value=\"{}\"", escaped(value));
        let at = self.at.end + html[self.at.end..close].find(&entry)? + entry.len();
        Some(format!("{} selected{}", &html[..at], &html[at..]))
    }
}

fn written(node: &Node) -> String {
    let attributes = node.attributes.iter();
    let attributes = attributes.map(|(name, value)| format!(" {name}=\"{}\"", escaped(value)));
    let children = node.children.iter().map(written);
    format!(
        "<{0}{1}>{2}{3}</{0}>",
        node.tag,
        attributes.collect::<String>(),
        escaped(&node.text),
        children.collect::<String>()
    )
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAGE: &str = "<html lang=\"en\"><p id=\"a\" class=\"b\"></p><ul id=\"list\"></ul>\
        <input data-field=\"wire\" id=\"wire\"><p id=\"gone\"></p><p id=\"here\" hidden>x</p>\
        <select id=\"unit\"><option value=\"mm\">mm</option><option value=\"inch\">in</option></select>";

    #[test]
    fn what_a_view_says_is_written() {
        let mut screen = Screen::default();
        screen.say("a", "1 < 2 & \"so\"");
        screen.mark("a", "class", "c");
        screen.mark(":root", "data-design", "good");
        screen.list("list", "li", ["one", "two"]);
        screen.value("@wire", "0.9 mm");
        screen.value("unit", "inch");
        screen.reveal("gone", false);
        screen.reveal("here", true);
        screen.say("nowhere", "nothing");
        assert_eq!(
            filled(PAGE, &screen),
            "<html lang=\"en\" data-design=\"good\"><p id=\"a\" class=\"c\">1 &lt; 2 &amp; \
             &quot;so&quot;</p><ul id=\"list\"><li>one</li><li>two</li></ul>\
             <input data-field=\"wire\" id=\"wire\" value=\"0.9 mm\"><p id=\"gone\" hidden></p>\
             <p id=\"here\">x</p><select id=\"unit\"><option value=\"mm\">mm</option>\
             <option value=\"inch\" selected>in</option></select>"
        );
    }

    #[test]
    fn the_opening_design_stands_on_the_page() {
        let www = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("www");
        let read = |name: &str| std::fs::read_to_string(www.join(name)).unwrap();
        let (html, style) = opened(&read("index.html"), &read("style.css")).unwrap();
        let verdict = html.split("id=\"verdict\"").nth(1).unwrap();
        assert!(verdict.split("</p>").next().unwrap().contains("Probably yes"));
        for drawn in ["<svg class=\"wide\"", "<svg class=\"narrow\"", ">height ", "mm</text>"] {
            assert!(html.contains(drawn), "{drawn}");
        }
        // Every colour it names is set, and none stands in the page by itself.
        let picture = html.split("id=\"opening\"").nth(1).unwrap().split("</div>").next().unwrap();
        assert!(!picture.contains("\"#"));
        for name in picture.split("var(").skip(1).map(|rest| rest.split(')').next().unwrap()) {
            assert_eq!(style.matches(&format!("{name}:#")).count(), 5, "{name}");
        }
    }
}
