//! Lines of a printed page, read from the PDF by an unrelated program (`lopdf`) and followed
//! through every transformation matrix (ISO 32000-1, 8.3.4 and 8.5.2).

use lopdf::content::{Content, Operation};
use lopdf::{Dictionary, Document, Object, ObjectId};

/// A point of the page, mm from its lower left corner.
pub type Place = [f64; 2];

/// One printed page.
pub struct Printed {
    /// Width and height, mm.
    pub size: Place,
    /// Every stroked line, in the order printed; a closed one ends where it starts.
    pub lines: Vec<Vec<Place>>,
}

/// Millimetres in a point of 1/72 inch.
const MM: f64 = 25.4 / 72.0;

/// Reads every page of a PDF file.
pub fn read(bytes: &[u8]) -> Vec<Printed> {
    let pdf = Document::load_mem(bytes).expect("a PDF file");
    pdf.get_pages().values().map(|&id| page(&pdf, id)).collect()
}

fn page(pdf: &Document, id: ObjectId) -> Printed {
    let dictionary = pdf.get_dictionary(id).unwrap();
    let corners: Vec<f64> = inherited(pdf, dictionary, b"MediaBox")
        .as_array()
        .unwrap()
        .iter()
        .map(|number| f64::from(number.as_float().unwrap()))
        .collect();
    let size = [(corners[2] - corners[0]) * MM, (corners[3] - corners[1]) * MM];
    let resources = inherited(pdf, dictionary, b"Resources").as_dict().unwrap();
    let content = pdf.get_page_content(id).unwrap();
    let mut reader = Reader { pdf, lines: Vec::new() };
    reader.run(&content, resources, Matrix([MM, 0.0, 0.0, MM, -corners[0] * MM, -corners[1] * MM]));
    Printed { size, lines: reader.lines }
}

/// A page's entry, or that of the nearest node above it.
fn inherited<'a>(pdf: &'a Document, page: &'a Dictionary, key: &[u8]) -> &'a Object {
    let mut node = page;
    loop {
        if let Ok(found) = node.get_deref(key, pdf) {
            return found;
        }
        node = node.get_deref(b"Parent", pdf).and_then(Object::as_dict).expect("in a node above");
    }
}

/// x' = a x + c y + e, y' = b x + d y + f.
#[derive(Clone, Copy)]
struct Matrix([f64; 6]);

impl Matrix {
    fn of(numbers: &[Object]) -> Matrix {
        Matrix(std::array::from_fn(|i| f64::from(numbers[i].as_float().unwrap())))
    }

    fn at(&self, x: f64, y: f64) -> Place {
        let [a, b, c, d, e, f] = self.0;
        [a * x + c * y + e, b * x + d * y + f]
    }

    /// First `inner`, then this.
    fn after(&self, inner: &Matrix) -> Matrix {
        let [a, b, c, d, e, f] = inner.0;
        let [origin, right, up] = [self.at(e, f), self.at(a + e, b + f), self.at(c + e, d + f)];
        let less = |p: Place| [p[0] - origin[0], p[1] - origin[1]];
        let ([a, b], [c, d]) = (less(right), less(up));
        Matrix([a, b, c, d, origin[0], origin[1]])
    }
}

struct Reader<'a> {
    pdf: &'a Document,
    lines: Vec<Vec<Place>>,
}

impl Reader<'_> {
    fn run(&mut self, content: &[u8], resources: &Dictionary, outer: Matrix) {
        let (mut now, mut stack) = (outer, Vec::new());
        let mut path: Vec<Vec<Place>> = Vec::new();
        for Operation { operator, operands } in Content::decode(content).unwrap().operations {
            let number = |i: usize| f64::from(operands[i].as_float().unwrap());
            match operator.as_str() {
                "q" => stack.push(now),
                "Q" => now = stack.pop().expect("a state to restore"),
                "cm" => now = now.after(&Matrix::of(&operands)),
                "m" => path.push(vec![now.at(number(0), number(1))]),
                "l" => path.last_mut().unwrap().push(now.at(number(0), number(1))),
                "c" => path.last_mut().unwrap().push(now.at(number(4), number(5))),
                "v" | "y" => path.last_mut().unwrap().push(now.at(number(2), number(3))),
                "h" => {
                    let line = path.last_mut().unwrap();
                    line.push(line[0]);
                }
                "re" => {
                    let [x, y, w, h] = [0, 1, 2, 3].map(number);
                    let corners = [[x, y], [x + w, y], [x + w, y + h], [x, y + h], [x, y]];
                    path.push(corners.iter().map(|[x, y]| now.at(*x, *y)).collect());
                }
                "S" | "s" | "B" | "B*" | "b" | "b*" => {
                    if ["s", "b", "b*"].contains(&operator.as_str()) {
                        path.iter_mut().for_each(|line| line.push(line[0]));
                    }
                    self.lines.append(&mut path);
                }
                "f" | "F" | "f*" | "n" => path.clear(),
                "Do" => {
                    let forms = resources.get_deref(b"XObject", self.pdf).unwrap();
                    let name = operands[0].as_name().unwrap();
                    let form = forms.as_dict().unwrap().get_deref(name, self.pdf).unwrap();
                    self.form(form, &now, resources);
                }
                _ => {}
            }
        }
    }

    fn form(&mut self, form: &Object, now: &Matrix, outer: &Dictionary) {
        let stream = form.as_stream().unwrap();
        if stream.dict.get(b"Subtype").and_then(Object::as_name).is_ok_and(|kind| kind != b"Form") {
            return;
        }
        let own = stream.dict.get_deref(b"Matrix", self.pdf).and_then(Object::as_array);
        let matrix = own.map_or(*now, |numbers| now.after(&Matrix::of(numbers)));
        let resources = stream.dict.get_deref(b"Resources", self.pdf).and_then(Object::as_dict);
        let content = stream.decompressed_content().unwrap_or_else(|_| stream.content.clone());
        self.run(&content, resources.unwrap_or(outer), matrix);
    }
}
