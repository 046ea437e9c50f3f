//! Every colour, size and spacing of the window: kraft paper and chalk, by day and by night.

use std::collections::BTreeMap;
use std::sync::Arc;

use egui::style::{Selection, WidgetVisuals};
use egui::{
    Color32, Context, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, FontTweak, Margin, Shadow, Stroke, TextStyle, Theme, Ui,
    Visuals,
};

/// The colours, by what they are for.
#[derive(Clone, Copy, Debug)]
pub struct Palette {
    /// The table on which the pieces lie.
    pub table: Color32,
    /// Faint squares on the table.
    pub table_line: Color32,
    /// The panels.
    pub panel: Color32,
    /// A box that stands out from its panel.
    pub raised: Color32,
    /// The bars and rules, like brown paper.
    pub kraft: Color32,
    /// Lines on and around the bars.
    pub kraft_line: Color32,
    /// Text and drawn lines.
    pub ink: Color32,
    /// Secondary text.
    pub ink_soft: Color32,
    /// Lines that only divide.
    pub hairline: Color32,
    /// A text field.
    pub field: Color32,
    /// A button.
    pub button: Color32,
    /// A button under the pointer.
    pub button_hover: Color32,
    /// The cloth of a piece.
    pub cloth: Color32,
    /// Its seam allowance.
    pub allowance: Color32,
    /// What is in hand.
    pub chalk: Color32,
    /// Behind what is in hand.
    pub chalk_wash: Color32,
    /// Text on chalk.
    pub on_chalk: Color32,
    /// What needs mending.
    pub madder: Color32,
    /// Behind what needs mending.
    pub madder_wash: Color32,
    /// What is worth a second look.
    pub ochre: Color32,
    /// Behind what is worth a second look.
    pub ochre_wash: Color32,
    /// The body of the figure.
    pub skin: Color32,
    /// Shade of the figure.
    pub skin_line: Color32,
}

const fn rgb(hex: u32) -> Color32 {
    Color32::from_rgb((hex >> 16) as u8, (hex >> 8) as u8, hex as u8)
}

/// By day.
pub const LIGHT: Palette = Palette {
    table: rgb(0xf1e8d6),
    table_line: rgb(0xe7dbc4),
    panel: rgb(0xfaf5ea),
    raised: rgb(0xfffdf8),
    kraft: rgb(0xdcc6a2),
    kraft_line: rgb(0xb99d72),
    ink: rgb(0x2c2620),
    ink_soft: rgb(0x6a5e4f),
    hairline: rgb(0xddd0b8),
    field: rgb(0xfffefb),
    button: rgb(0xf0e5cf),
    button_hover: rgb(0xe7d7b8),
    cloth: rgb(0xfffdf7),
    allowance: rgb(0xf6eedd),
    chalk: rgb(0x1f5f99),
    chalk_wash: rgb(0xd9e6f1),
    on_chalk: rgb(0xffffff),
    madder: rgb(0xa42e28),
    madder_wash: rgb(0xf7e0da),
    ochre: rgb(0x8a5a00),
    ochre_wash: rgb(0xf8e8c4),
    skin: rgb(0xf9f2e4),
    skin_line: rgb(0x9a8a72),
};

/// By night.
pub const DARK: Palette = Palette {
    table: rgb(0x25211c),
    table_line: rgb(0x2e2923),
    panel: rgb(0x1d1a16),
    raised: rgb(0x2a2620),
    kraft: rgb(0x3d3326),
    kraft_line: rgb(0x5d4f3b),
    ink: rgb(0xf0e8da),
    ink_soft: rgb(0xb5a893),
    hairline: rgb(0x413a30),
    field: rgb(0x14120f),
    button: rgb(0x3a332a),
    button_hover: rgb(0x4a4135),
    cloth: rgb(0x3c362d),
    allowance: rgb(0x312c25),
    chalk: rgb(0x8fc0ec),
    chalk_wash: rgb(0x26394a),
    on_chalk: rgb(0x10202e),
    madder: rgb(0xf3958a),
    madder_wash: rgb(0x4a2723),
    ochre: rgb(0xe8bd62),
    ochre_wash: rgb(0x43361a),
    skin: rgb(0x342e26),
    skin_line: rgb(0x8d7f69),
};

impl Palette {
    /// The colours in force.
    pub fn of(ui: &Ui) -> &'static Self {
        if ui.visuals().dark_mode { &DARK } else { &LIGHT }
    }
}

/// Space between groups.
pub const APART: f32 = 16.0;
/// Height of anything to be clicked.
pub const TARGET: f32 = 32.0;
/// Width of the rules along the table.
pub const RULE: f32 = 26.0;
/// Rounding of boxes.
pub const ROUND: u8 = 5;

/// Sizes of text that are offered, as a factor.
pub const TEXT_SIZES: [(f32, &str); 4] = [(1.0, "usual"), (1.15, "larger"), (1.35, "large"), (1.6, "very large")];

/// The stronger cut of the lettering.
pub fn strong() -> FontFamily {
    FontFamily::Name("strong".into())
}

/// Title of a page or a dialog.
pub fn title() -> FontId {
    FontId::new(22.0, strong())
}

/// Heading within a panel.
pub fn heading() -> FontId {
    FontId::new(15.5, strong())
}

/// Strong text of the usual size.
pub fn strong_body() -> FontId {
    FontId::new(14.5, strong())
}

/// Small text.
pub fn small() -> FontId {
    FontId::new(12.5, FontFamily::Proportional)
}

/// Lettering and looks, both themes.
pub fn install(ctx: &Context) {
    ctx.set_fonts(fonts());
    ctx.set_style_of(Theme::Light, style(&LIGHT, Visuals::light()));
    ctx.set_style_of(Theme::Dark, style(&DARK, Visuals::dark()));
    ctx.options_mut(|o| o.fallback_theme = Theme::Light);
}

fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::default();
    let mut add = |name: &str, bytes: &'static [u8], family: FontFamily| {
        // The gap between its lines lies below the letters; half of it is wanted above, so that they stand in the middle.
        let data = FontData::from_static(bytes).tweak(FontTweak { y_offset_factor: 0.12, ..FontTweak::default() });
        fonts.font_data.insert(name.to_owned(), Arc::new(data));
        let fallback = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
        let list = fonts.families.entry(family).or_insert(fallback);
        list.insert(0, name.to_owned());
    };
    // The stronger family first, so that its fallback is the plain default and not our lighter cut.
    add("Lato Semibold", include_bytes!("../../../assets/fonts/Lato-Semibold.ttf"), strong());
    add("Lato", include_bytes!("../../../assets/fonts/Lato-Regular.ttf"), FontFamily::Proportional);
    fonts
}

fn style(p: &Palette, mut visuals: Visuals) -> egui::Style {
    let corner = CornerRadius::same(ROUND);
    let widget = |fill: Color32, line: Color32, ink: Color32| WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: Stroke::new(1.0, line),
        corner_radius: corner,
        fg_stroke: Stroke::new(1.3, ink),
        expansion: 0.0,
    };
    visuals.widgets.noninteractive = WidgetVisuals { bg_stroke: Stroke::new(1.0, p.hairline), ..widget(p.panel, p.hairline, p.ink) };
    visuals.widgets.inactive = widget(p.button, p.kraft_line, p.ink);
    visuals.widgets.hovered = widget(p.button_hover, p.ink_soft, p.ink);
    visuals.widgets.active = widget(p.chalk_wash, p.chalk, p.ink);
    visuals.widgets.open = widget(p.button_hover, p.ink_soft, p.ink);
    visuals.selection = Selection { bg_fill: p.chalk_wash, stroke: Stroke::new(1.5, p.chalk) };
    visuals.override_text_color = None;
    visuals.weak_text_color = Some(p.ink_soft);
    visuals.hyperlink_color = p.chalk;
    visuals.faint_bg_color = p.raised;
    visuals.extreme_bg_color = p.field;
    visuals.text_edit_bg_color = Some(p.field);
    visuals.warn_fg_color = p.ochre;
    visuals.error_fg_color = p.madder;
    visuals.panel_fill = p.panel;
    visuals.window_fill = p.raised;
    visuals.window_stroke = Stroke::new(1.0, p.kraft_line);
    visuals.window_corner_radius = CornerRadius::same(8);
    visuals.menu_corner_radius = corner;
    visuals.window_shadow = Shadow { offset: [0, 6], blur: 24, spread: 0, color: Color32::from_black_alpha(60) };
    visuals.popup_shadow = Shadow { offset: [0, 3], blur: 12, spread: 0, color: Color32::from_black_alpha(50) };
    visuals.slider_trailing_fill = true;
    visuals.text_cursor.stroke = Stroke::new(2.0, p.chalk);
    // A blinking cursor would wake the program twice a second for nothing.
    visuals.text_cursor.blink = false;

    let mut style = egui::Style { visuals, ..egui::Style::default() };
    style.text_styles = BTreeMap::from([
        (TextStyle::Small, small()),
        (TextStyle::Body, FontId::new(14.5, FontFamily::Proportional)),
        (TextStyle::Button, FontId::new(14.5, FontFamily::Proportional)),
        (TextStyle::Heading, FontId::new(18.0, strong())),
        (TextStyle::Monospace, FontId::new(13.5, FontFamily::Monospace)),
    ]);
    let s = &mut style.spacing;
    s.item_spacing = egui::vec2(8.0, 6.0);
    s.button_padding = egui::vec2(11.0, 6.0);
    s.interact_size = egui::vec2(TARGET, TARGET);
    s.icon_width = 20.0;
    s.icon_width_inner = 12.0;
    s.window_margin = Margin::same(20);
    s.menu_margin = Margin::same(8);
    s.slider_rail_height = 4.0;
    s.tooltip_width = 360.0;
    s.scroll = egui::style::ScrollStyle { bar_width: 9.0, ..egui::style::ScrollStyle::solid() };
    s.scroll.bar_inner_margin = 6.0;
    s.scroll.foreground_color = false;
    style.interaction.selectable_labels = false;
    style.interaction.tooltip_delay = 0.4;
    style.animation_time = 0.0;
    style
}
