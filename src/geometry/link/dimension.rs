//! What the tools are set to, and its lengths by name.

/// What the tools are set to for one size of link; all mm, checked by the design.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToolDimensions {
    /// Wire diameter `d`.
    pub wire: f64,
    /// Mandrel diameter `M`.
    pub mandrel: f64,
    /// What the coil opens by in inside diameter when it leaves the mandrel.
    pub springback: f64,
    /// Width of the saw cut.
    pub kerf: f64,
    /// What the closed ring's centreline grows by when it is stretched, as a share of itself.
    pub growth: f64,
    /// Diameter of the two jaws the ring is stretched over.
    pub oval_jaw: f64,
    /// Inside length to stretch to; taut when not given.
    pub oval_length: Option<f64>,
    /// Bore of the lobes.
    pub bore: f64,
    /// Clear gap at the waist.
    pub waist_gap: f64,
    /// Diameter of the jaws that pinch.
    pub pinch_jaw: f64,
    /// Half the length of the neck that the pinch leaves; 0 where the strands flare at once.
    pub neck: f64,
    /// Diameter of the jaw folded over.
    pub fold_jaw: f64,
    /// Clear gap between the tips of the finished link.
    pub tip_gap: f64,
    /// Clear gap between the tips while joining; chosen by the tool when not given.
    pub open_tip_gap: Option<f64>,
    /// Bore that the leading lobe is pressed to while it is threaded; chosen by the tool when not
    /// given.
    pub threading_bore: Option<f64>,
}

impl ToolDimensions {
    /// The proportions of the wire that a bench would start from (common practice, no source): bore
    /// 2.5 d, ovals stretched taut over jaws of the bore, pinch jaws 2 d, fold jaw 2.5 d, tips closed to
    /// 0.1 d, the waist shut; no saw cut, no springback, no growth. All mm.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::link::ToolDimensions;
    /// let tools = ToolDimensions::usual(0.8, 10.0);
    /// assert_eq!(tools.bore, 2.0); // two and a half wires
    /// ```
    pub fn usual(wire: f64, mandrel: f64) -> ToolDimensions {
        ToolDimensions {
            wire,
            mandrel,
            springback: 0.0,
            kerf: 0.0,
            growth: 0.0,
            oval_jaw: 2.5 * wire,
            oval_length: None,
            bore: 2.5 * wire,
            waist_gap: 0.0,
            pinch_jaw: 2.0 * wire,
            neck: 0.0,
            fold_jaw: 2.5 * wire,
            tip_gap: 0.1 * wire,
            open_tip_gap: None,
            threading_bore: None,
        }
    }

    /// Every length multiplied by `factor`.
    pub fn scaled(&self, factor: f64) -> ToolDimensions {
        ToolDimensions {
            wire: self.wire * factor,
            mandrel: self.mandrel * factor,
            springback: self.springback * factor,
            kerf: self.kerf * factor,
            growth: self.growth,
            oval_jaw: self.oval_jaw * factor,
            oval_length: self.oval_length.map(|x| x * factor),
            bore: self.bore * factor,
            waist_gap: self.waist_gap * factor,
            pinch_jaw: self.pinch_jaw * factor,
            neck: self.neck * factor,
            fold_jaw: self.fold_jaw * factor,
            tip_gap: self.tip_gap * factor,
            open_tip_gap: self.open_tip_gap.map(|x| x * factor),
            threading_bore: self.threading_bore.map(|x| x * factor),
        }
    }
}

/// A length that the tools are set to, or that is measured while forming; all in mm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ToolDimension {
    /// Diameter of the wire.
    Wire,
    /// Diameter of the mandrel.
    Mandrel,
    /// Diameter of the jaws the ring is stretched over.
    OvalJaw,
    /// Inside length of the oval.
    OvalLength,
    /// Bore of the lobes.
    Bore,
    /// Clear gap at the waist.
    WaistGap,
    /// Diameter of the jaws that pinch.
    PinchJaw,
    /// Half the length of the neck.
    Neck,
    /// Diameter of the jaw folded over.
    FoldJaw,
    /// Clear gap between the tips of the finished link.
    TipGap,
    /// Clear gap between the tips while joining.
    OpenTipGap,
    /// Bore that the leading lobe is pressed to while it is threaded.
    ThreadingBore,
}

impl ToolDimension {
    /// Its value in `tools`, mm; none where it is left to be chosen.
    pub fn of(self, tools: &ToolDimensions) -> Option<f64> {
        match self {
            ToolDimension::Wire => Some(tools.wire),
            ToolDimension::Mandrel => Some(tools.mandrel),
            ToolDimension::OvalJaw => Some(tools.oval_jaw),
            ToolDimension::OvalLength => tools.oval_length,
            ToolDimension::Bore => Some(tools.bore),
            ToolDimension::WaistGap => Some(tools.waist_gap),
            ToolDimension::PinchJaw => Some(tools.pinch_jaw),
            ToolDimension::Neck => Some(tools.neck),
            ToolDimension::FoldJaw => Some(tools.fold_jaw),
            ToolDimension::TipGap => Some(tools.tip_gap),
            ToolDimension::OpenTipGap => tools.open_tip_gap,
            ToolDimension::ThreadingBore => tools.threading_bore,
        }
    }

    /// `tools` with this dimension set to `mm`, all others as they are.
    pub fn set(self, tools: &ToolDimensions, mm: f64) -> ToolDimensions {
        let mut tools = *tools;
        match self {
            ToolDimension::Wire => tools.wire = mm,
            ToolDimension::Mandrel => tools.mandrel = mm,
            ToolDimension::OvalJaw => tools.oval_jaw = mm,
            ToolDimension::OvalLength => tools.oval_length = Some(mm),
            ToolDimension::Bore => tools.bore = mm,
            ToolDimension::WaistGap => tools.waist_gap = mm,
            ToolDimension::PinchJaw => tools.pinch_jaw = mm,
            ToolDimension::Neck => tools.neck = mm,
            ToolDimension::FoldJaw => tools.fold_jaw = mm,
            ToolDimension::TipGap => tools.tip_gap = mm,
            ToolDimension::OpenTipGap => tools.open_tip_gap = Some(mm),
            ToolDimension::ThreadingBore => tools.threading_bore = Some(mm),
        }
        tools
    }
}
