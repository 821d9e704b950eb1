/**
 * linkfold for other pages: what will come of loop-in-loop chain before metal is cut.
 *
 * Everything runs in the browser that calls it and asks nothing of any other machine. Lengths are
 * in millimetres, in fields that end in `_mm`; angles in degrees, in fields that end in `_deg`.
 */

/**
 * Loads the core; call it once and wait for it before anything else here.
 *
 * @param module where the WebAssembly module is, or the module itself; left out, it is found
 *   beside this script.
 */
export default function init(
  module?: string | URL | Request | Response | BufferSource | WebAssembly.Module,
): Promise<void>;

/** A wire by thickness, or by a number of a gauge. */
export type Wire =
  | { diameter_mm: number }
  | { gauge: { system: 'awg' | 'swg'; number: number } };

/** One size of link. What is left out takes a usual proportion of the wire. */
export interface Size {
  /** What the maker calls it. */
  name?: string;
  /** Diameter of the mandrel that the coil is wound on. */
  mandrel_mm: number;
  /** Greatest inside width of a lobe of the figure eight. */
  bore_mm?: number;
  /** Diameter of the jaw that the eight is folded over. */
  fold_jaw_mm?: number;
  /** Every other field of a size: see `schema()`. */
  [field: string]: unknown;
}

/** A design, as in a design file. */
export interface Design {
  /** Version of the document: 1. */
  linkfold: 1;
  /** What the maker calls it. */
  name?: string;
  /** The wire of every size that has none of its own. */
  wire: Wire;
  /** One size or several, in the order of the chain. */
  sizes: Size[];
  /** Every other field of a design: see `schema()`. */
  [field: string]: unknown;
}

/** A maker's bench, as in a bench file: see `schema('bench')`. */
export interface Bench {
  /** Version of the document: 1. */
  linkfold_bench: 1;
  [field: string]: unknown;
}

/** Whether one link goes through the one before. */
export type Answer =
  | 'passes' | 'tight' | 'passes-if-sprung' | 'does-not-pass' | 'undecided' | (string & {});

/** One link joined into another. */
export interface Join {
  /** Whether it goes. */
  verdict: Answer;
  /** What the verdict rests on: a proof, or a search that proves nothing. */
  basis: 'proof' | 'search' | 'estimate' | 'refused' | (string & {});
  /** The verdict in a sentence. */
  message: string;
  /** Metal to metal, where the way is tightest. */
  least_clearance_mm: number;
  [field: string]: unknown;
}

/** A mandrel and jaws that are proven to join, in steps that can be had. */
export interface Shaped {
  mandrel_mm: number;
  bore_mm: number;
  fold_jaw_mm: number;
  waist_gap_mm: number;
  neck_mm: number;
  pinch_jaw_mm: number;
  threading_bore_mm?: number;
  least_clearance_mm: number;
}

/** What there is to say about a design: what `linkfold check` prints. */
export interface Report {
  /** Version of the report. */
  linkfold_report: number;
  /** The design's name. */
  name: string;
  /** What callipers should read on each size, in the design's order. */
  sizes: Array<{
    name: string;
    wire_mm: number;
    mandrel_mm: number;
    ratio: number;
    [field: string]: unknown;
  }>;
  /** Each size with itself, then each neighbour with the next, both ways. */
  joins: Join[];
  /** What comes of tools set to the design's dimensions without a correction for springback; left out where the joins are on shapes after springback. */
  uncorrected?: { verdict?: string; least_clearance_mm?: number; message: string };
  /** What other jaws would make of each size: the best on its mandrel, and the smallest mandrels of its wire. */
  best_shaping?: Array<{ size: string; jaws?: Shaped; with_your_jaws?: Shaped; with_any_jaws?: Shaped }>;
  /** How links lie and move in one another, for the same pairs. */
  chain: Array<Record<string, unknown>>;
  /** The whole chain, where the design has a plan. */
  plan?: Plan;
  /** What stands beside every mention of torch, acid and load. */
  cautions: string[];
}

/** The plan of a whole chain: what `linkfold plan` prints. */
export interface Plan {
  /** Whether it can be made. */
  standing: 'finished' | 'open' | 'fails' | 'not-laid-out' | (string & {});
  /** The same in a sentence. */
  message: string;
  [field: string]: unknown;
}

/** How a picture is drawn. */
export interface PictureOptions {
  /** Which of the design's sizes, from 0. */
  size?: number;
  /** The shape at the end of which step; `joined` shows the next link beside it. */
  step?: 'oval' | 'eight' | 'fold' | 'joined';
  /** The size it is made for, CSS pixels, 50 to 4000. */
  width?: number;
  height?: number;
  colours?: 'light' | 'dark' | 'contrast' | 'print';
  /** Measures in inches instead of millimetres. */
  inches?: boolean;
}

/** What is thrown where something given cannot be used. */
export interface LinkfoldError extends Error {
  name: 'LinkfoldError';
  /** The field at fault, such as `sizes[0].mandrel_mm`; empty for the whole. */
  path: string;
  /** What it holds, where that is a number. */
  value: number | null;
  /** The least and the most it may be, null where there is no limit. */
  range: [least: number | null, most: number | null] | null;
}

/**
 * The report on a design, every join proven. Takes some tens of milliseconds a join, more where a
 * link does not pass: call it in a worker where the page must not wait.
 *
 * @throws {LinkfoldError}
 */
export function check(design: Design): Report;

/**
 * The plan of the whole chain that `design.plan` asks for; with cost and hours by `bench`.
 *
 * @throws {LinkfoldError}
 */
export function plan(design: Design, bench?: Bench | null): Plan;

/**
 * One link as the text of an SVG, with what callipers should read.
 *
 * @throws {LinkfoldError}
 */
export function picture(design: Design, options?: PictureOptions | null): string;

/** Which gauge or jig is wanted. */
export interface JigOptions {
  /** A gauge plate, a winding mandrel, an oval former, a waist pincher, a fold block, a gap gauge, or the printer's test piece. */
  what: 'plate' | 'mandrel' | 'oval' | 'waist' | 'fold' | 'feeler' | 'test';
  /** Which of the design's sizes, from 0; left out, a plate or a gap gauge has all of them, anything else is for the first. */
  size?: number;
  /** How much narrower than meant the printer makes a slot, 0 to 0.6. */
  print_allowance_mm?: number;
}

/** A gauge or a jig. Printed plastic: for soft wire by hand, never near torch or pickle. */
export interface Jig {
  /** What it is and for which design. */
  name: string;
  /** The solids as binary STL, mm. */
  stl: Uint8Array;
  /** The same as glTF 2.0 in one file. */
  glb: Uint8Array;
  /** The outlines from above, true to scale, with no allowance for a printer. */
  svg: string;
  /** What to check with callipers: what the link or the tool measures; of a gauge, its two slots or pockets. */
  measures: Array<{ name: string; mm: number; go_mm: number | null; no_go_mm: number | null }>;
  /** Of a gauge, size by size: what an outline may be off by all round. */
  tolerances: Array<{ beside_mm: number; clearance_mm: number; is_capped: boolean }>;
  /** How to use it, and what it cannot do. */
  notes: string[];
  /** What stands beside every mention of a printed part. */
  cautions: string[];
}

/**
 * A gauge or a jig for this design's links, corrected for springback.
 *
 * @throws {LinkfoldError}
 */
export function jig(design: Design, options: JigOptions): Jig;

/** The JSON Schema of a document, which names every field with its limits. */
export function schema(of?: 'design' | 'bench' | 'wishes'): Promise<Record<string, unknown>>;
