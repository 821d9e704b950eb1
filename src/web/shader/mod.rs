//! Wires and tools shaded pixel by pixel, by WebGL 2 on a canvas of its own, whose picture is then laid on that of
//! the page, under its writing.
//!
//! Where the browser has no WebGL 2, draws it by its own processor or loses it, there is none, and the page
//! draws by facets. A context that was lost is asked for again, [`TRIES`] times in all.

use crate::render::{
    CORNER, LIGHT_SIDE, PictureView, RIM, RING, Scene, Shaded, Theme, light_table, materials,
};
use js_sys::Float32Array;
use wasm_bindgen::JsCast;
use web_sys::{
    Document, HtmlCanvasElement, WebGl2RenderingContext as Gl, WebGlBuffer, WebGlContextAttributes,
    WebGlProgram, WebGlUniformLocation, WebGlVertexArrayObject,
};

/// How often a context is asked for.
const TRIES: u8 = 3;
/// The canvas may be so many device pixels larger than asked for.
const SPARE: u32 = 64;
/// Of `WEBGL_debug_renderer_info`.
const RENDERER: u32 = 0x9246;
/// Names, in small letters, of what draws by the processor.
const BY_PROCESSOR: [&str; 5] = ["swiftshader", "llvmpipe", "softpipe", "software", "basic render"];

/// The way to the shader, while there is one.
#[derive(Default)]
pub struct Shader {
    context: Option<Context>,
    tries: u8,
    shaded: Shaded,
}

struct Context {
    gl: Gl,
    canvas: HtmlCanvasElement,
    wires: Part,
    faces: Part,
    theme: Option<&'static Theme>,
}

/// A program, and the numbers that it is given.
struct Part {
    program: WebGlProgram,
    array: WebGlVertexArrayObject,
    buffer: WebGlBuffer,
    reach: Option<WebGlUniformLocation>,
    grown: Option<WebGlUniformLocation>,
    sides: Option<WebGlUniformLocation>,
    scales: Option<WebGlUniformLocation>,
}

impl Shader {
    /// Shades a scene in the lower left corner of a canvas, `size` device pixels; none where there is no shader.
    pub fn shade(
        &mut self,
        document: &Document,
        scene: &Scene,
        view: &PictureView,
        size: [u32; 2],
        theme: &'static Theme,
    ) -> Option<&HtmlCanvasElement> {
        if self.context.as_ref().is_some_and(|context| context.gl.is_context_lost()) {
            self.context = None;
        }
        if self.context.is_none() && self.tries < TRIES {
            self.tries += 1;
            self.context = Context::new(document);
            if self.context.is_none() {
                // A browser that has none will have none.
                self.tries = TRIES;
            }
        }
        let context = self.context.as_mut()?;
        self.shaded.take(scene, view);
        let is_drawn = context.draw(&self.shaded, view, size, theme);
        // Lost while it drew: what is there is empty.
        (is_drawn && !context.gl.is_context_lost()).then_some(&context.canvas)
    }
}

impl Context {
    fn new(document: &Document) -> Option<Context> {
        let canvas: HtmlCanvasElement = document.create_element("canvas").ok()?.dyn_into().ok()?;
        let wishes = WebGlContextAttributes::new();
        wishes.set_alpha(true);
        wishes.set_antialias(true);
        wishes.set_depth(true);
        wishes.set_fail_if_major_performance_caveat(true);
        let found = canvas.get_context_with_context_options("webgl2", &wishes).ok()??;
        let gl: Gl = found.dyn_into().ok()?;
        if is_by_processor(&gl) {
            return None;
        }
        let wires = Part::new(&gl, include_str!("wire.vert"))?;
        // A ring and the next, an instance each.
        let widths = [4, 4, 3, 3, 3];
        for (next, place) in (0..2).flat_map(|next| (0..5).map(move |place| (next, place))) {
            let offset = next * RING + widths[..place as usize].iter().sum::<usize>();
            gl.enable_vertex_attrib_array(5 * next as u32 + place);
            gl.vertex_attrib_pointer_with_i32(
                5 * next as u32 + place,
                widths[place as usize] as i32,
                Gl::FLOAT,
                false,
                4 * RING as i32,
                4 * offset as i32,
            );
            gl.vertex_attrib_divisor(5 * next as u32 + place, 1);
        }
        let faces = Part::new(&gl, include_str!("face.vert"))?;
        for (place, width, offset) in [(0, 4, 0), (1, 3, 4)] {
            gl.enable_vertex_attrib_array(place);
            let stride = 4 * CORNER as i32;
            gl.vertex_attrib_pointer_with_i32(place, width, Gl::FLOAT, false, stride, 4 * offset);
        }
        lay_lights(&gl)?;
        gl.enable(Gl::DEPTH_TEST);
        Some(Context { gl, canvas, wires, faces, theme: None })
    }

    /// Draws into the lower left corner of its canvas, `size` device pixels; whether there is space for so many.
    fn draw(
        &mut self,
        shaded: &Shaded,
        view: &PictureView,
        size: [u32; 2],
        theme: &'static Theme,
    ) -> bool {
        let Context { gl, canvas, .. } = self;
        let [wide, high] = size;
        // Two pictures of nearly one size share it.
        let fits = |there: u32, asked: u32| (asked..asked + SPARE).contains(&there);
        if !fits(canvas.width(), wide) || !fits(canvas.height(), high) {
            canvas.set_width(wide);
            canvas.set_height(high);
        }
        let [there_wide, there_high] = [gl.drawing_buffer_width(), gl.drawing_buffer_height()];
        if there_wide < wide as i32 || there_high < high as i32 {
            return false;
        }
        gl.viewport(0, 0, wide as i32, high as i32);
        gl.clear_color(0.0, 0.0, 0.0, 0.0);
        gl.clear(Gl::COLOR_BUFFER_BIT | Gl::DEPTH_BUFFER_BIT);
        let half = view.half();
        let reach = [1.0 / half[0], 1.0 / half[1], -1.0 / shaded.depth].map(|x| x as f32);
        let changed = self.theme != Some(theme);
        self.theme = Some(theme);
        for (part, numbers) in [(&self.wires, &shaded.rings), (&self.faces, &shaded.faces)] {
            gl.use_program(Some(&part.program));
            gl.bind_vertex_array(Some(&part.array));
            gl.bind_buffer(Gl::ARRAY_BUFFER, Some(&part.buffer));
            if changed {
                gl.uniform3fv_with_f32_array(part.scales.as_ref(), &materials(theme));
            }
            if numbers.is_empty() {
                continue;
            }
            let numbers = Float32Array::from(&numbers[..]);
            gl.buffer_data_with_array_buffer_view(Gl::ARRAY_BUFFER, &numbers, Gl::DYNAMIC_DRAW);
            gl.uniform3fv_with_f32_array(part.reach.as_ref(), &reach);
        }
        gl.bind_vertex_array(Some(&self.faces.array));
        let corners = shaded.faces.len() / CORNER;
        if corners > 0 {
            gl.draw_arrays(Gl::TRIANGLES, 0, corners as i32);
        }
        let lengths = (shaded.rings.len() / RING).saturating_sub(1);
        if lengths > 0 {
            gl.use_program(Some(&self.wires.program));
            gl.bind_vertex_array(Some(&self.wires.array));
            gl.uniform1f(self.wires.sides.as_ref(), shaded.sides as f32);
            let corners = 2 * (shaded.sides as i32 + 1);
            // Of the dark edge what is turned away, of the wire what is turned here; its triangles go
            // round with the clock.
            gl.enable(Gl::CULL_FACE);
            for (grown, hidden) in [(view.mm(RIM), Gl::BACK), (0.0, Gl::FRONT)] {
                gl.cull_face(hidden);
                gl.uniform1f(self.wires.grown.as_ref(), grown as f32);
                gl.draw_arrays_instanced(Gl::TRIANGLE_STRIP, 0, corners, lengths as i32);
            }
            gl.disable(Gl::CULL_FACE);
        }
        true
    }
}

/// Whether the browser draws it by its own processor: slower than our facets. One that does not tell is
/// taken at its word that there is no caveat.
fn is_by_processor(gl: &Gl) -> bool {
    // Where names are told by an extension only, it has to be asked for.
    let asked = gl.get_extension("WEBGL_debug_renderer_info").ok().flatten();
    let name = asked.and_then(|_| gl.get_parameter(RENDERER).ok()?.as_string());
    let name = name.unwrap_or_default().to_lowercase();
    BY_PROCESSOR.iter().any(|known| name.contains(known))
}

/// The table of light, as the one texture.
fn lay_lights(gl: &Gl) -> Option<()> {
    let texture = gl.create_texture()?;
    gl.bind_texture(Gl::TEXTURE_2D, Some(&texture));
    for (name, value) in [
        (Gl::TEXTURE_MIN_FILTER, Gl::LINEAR),
        (Gl::TEXTURE_MAG_FILTER, Gl::LINEAR),
        (Gl::TEXTURE_WRAP_S, Gl::CLAMP_TO_EDGE),
        (Gl::TEXTURE_WRAP_T, Gl::CLAMP_TO_EDGE),
    ] {
        gl.tex_parameteri(Gl::TEXTURE_2D, name, value as i32);
    }
    let side = LIGHT_SIDE as i32;
    gl.tex_image_2d_with_i32_and_i32_and_i32_and_format_and_type_and_opt_u8_array(
        Gl::TEXTURE_2D,
        0,
        Gl::RG8 as i32,
        side,
        side,
        0,
        Gl::RG,
        Gl::UNSIGNED_BYTE,
        Some(&light_table()),
    )
    .ok()
}

impl Part {
    /// A program of that and the common fragment shader, its array bound.
    fn new(gl: &Gl, vertex: &str) -> Option<Part> {
        let program = gl.create_program()?;
        for (kind, text) in
            [(Gl::VERTEX_SHADER, vertex), (Gl::FRAGMENT_SHADER, include_str!("light.frag"))]
        {
            let shader = gl.create_shader(kind)?;
            gl.shader_source(&shader, &format!("#version 300 es\n{text}"));
            gl.compile_shader(&shader);
            gl.attach_shader(&program, &shader);
        }
        gl.link_program(&program);
        if gl.get_program_parameter(&program, Gl::LINK_STATUS).as_bool() != Some(true) {
            return None;
        }
        let array = gl.create_vertex_array()?;
        gl.bind_vertex_array(Some(&array));
        let buffer = gl.create_buffer()?;
        gl.bind_buffer(Gl::ARRAY_BUFFER, Some(&buffer));
        let place = |name: &str| gl.get_uniform_location(&program, name);
        let (reach, grown) = (place("reach"), place("grown"));
        let (sides, scales) = (place("sides"), place("scales"));
        Some(Part { array, buffer, reach, grown, sides, scales, program })
    }
}
