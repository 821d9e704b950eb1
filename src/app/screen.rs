//! What the page shows, as a value: for each element the text, the children, the attributes it
//! is to have.
//!
//! Views write into a [`Screen`]; the browser brings its elements to what it says, and a test
//! reads it. An element that no view mentions stays as it is.
//! Evidence: `tests/page_model.rs`, which also holds every id to `www/index.html`.

use std::collections::BTreeMap;

/// A property of an element that a view may set.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Property {
    /// Its children, made anew where they differ. Comes first: the others may be of children.
    Children,
    /// Its text.
    Text,
    /// Whether it is shown.
    Shown,
    /// What an input or a list holds.
    Value,
    /// Whether a box is ticked.
    Ticked,
    /// An attribute.
    Attribute(&'static str),
}

/// What a property is to be.
#[derive(Clone, Debug, PartialEq)]
pub enum Content {
    /// A text, an attribute's or an input's value.
    Words(String),
    /// For [`Property::Shown`] and [`Property::Ticked`].
    Flag(bool),
    /// For [`Property::Children`].
    Nodes(Vec<Node>),
}

/// An element to be made.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Node {
    /// Its tag.
    pub tag: &'static str,
    /// Its text, before its children.
    pub text: String,
    /// Its attributes.
    pub attributes: Vec<(&'static str, String)>,
    /// Its children.
    pub children: Vec<Node>,
}

impl Node {
    /// An element with a text.
    pub fn new(tag: &'static str, text: impl Into<String>) -> Node {
        Node { tag, text: text.into(), ..Node::default() }
    }

    /// The same with an attribute.
    pub fn with(mut self, name: &'static str, value: impl Into<String>) -> Node {
        self.attributes.push((name, value.into()));
        self
    }

    /// The same with a child.
    pub fn holding(mut self, child: Node) -> Node {
        self.children.push(child);
        self
    }

    /// A button that does `act`, for what stands in the row `index`.
    pub fn button(words: &str, act: &'static str, index: impl Into<String>) -> Node {
        Node::new("button", words).with("type", "button").with(act, index)
    }

    /// An entry of a list to choose from.
    pub fn option(value: impl Into<String>, words: impl Into<String>) -> Node {
        Node::new("option", words).with("value", value)
    }

    /// A row of a table.
    pub fn row(cell: &'static str, cells: impl IntoIterator<Item = String>) -> Node {
        let children = cells.into_iter().map(|text| Node::new(cell, text)).collect();
        Node { tag: "tr", children, ..Node::default() }
    }
}

/// What the page shows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Screen {
    parts: BTreeMap<(String, Property), Content>,
}

impl Screen {
    fn set(&mut self, id: &str, property: Property, content: Content) {
        self.parts.insert((id.into(), property), content);
    }

    /// Makes `words` the text of an element.
    pub fn say(&mut self, id: &str, words: &str) {
        self.set(id, Property::Text, Content::Words(words.into()));
    }

    /// Sets an attribute.
    pub fn mark(&mut self, id: &str, name: &'static str, value: &str) {
        self.set(id, Property::Attribute(name), Content::Words(value.into()));
    }

    /// Shows an element or takes it away.
    pub fn reveal(&mut self, id: &str, shown: bool) {
        self.set(id, Property::Shown, Content::Flag(shown));
    }

    /// Makes `value` what an input or a list holds.
    pub fn value(&mut self, id: &str, value: &str) {
        self.set(id, Property::Value, Content::Words(value.into()));
    }

    /// Ticks a box or not.
    pub fn tick(&mut self, id: &str, ticked: bool) {
        self.set(id, Property::Ticked, Content::Flag(ticked));
    }

    /// Makes `nodes` the only children of an element.
    pub fn children(&mut self, id: &str, nodes: Vec<Node>) {
        self.set(id, Property::Children, Content::Nodes(nodes));
    }

    /// Makes `lines` the only children of an element.
    pub fn list<'a>(
        &mut self,
        id: &str,
        tag: &'static str,
        lines: impl IntoIterator<Item = &'a str>,
    ) {
        self.children(id, lines.into_iter().map(|line| Node::new(tag, line)).collect());
    }

    /// Everything it says, the children of an element before its other properties.
    pub fn parts(&self) -> impl Iterator<Item = (&str, &Property, &Content)> {
        self.parts.iter().map(|((id, property), content)| (id.as_str(), property, content))
    }

    /// What a property is to be.
    pub fn part(&self, id: &str, property: Property) -> Option<&Content> {
        self.parts.get(&(id.into(), property))
    }

    /// The text an element is to have.
    pub fn text(&self, id: &str) -> Option<&str> {
        match self.part(id, Property::Text)? {
            Content::Words(words) => Some(words),
            _ => None,
        }
    }

    /// What an input or a list is to hold.
    pub fn value_of(&self, id: &str) -> Option<&str> {
        match self.part(id, Property::Value)? {
            Content::Words(words) => Some(words),
            _ => None,
        }
    }

    /// The attribute an element is to have.
    pub fn attribute(&self, id: &str, name: &'static str) -> Option<&str> {
        match self.part(id, Property::Attribute(name))? {
            Content::Words(words) => Some(words),
            _ => None,
        }
    }
}
