//! The ticket: particulars of what is selected, the ease table, and the messages that touch it.

use draft_core::{Built, Message, Name, Piece, Role};
use egui::{Align, Align2, FontId, Label, Layout, RichText, Sense, TextStyle, Ui, WidgetInfo, pos2, vec2};

use super::icon::Icon;
use super::theme::{self, Palette};
use super::{Chosen, Desk, Request, Seen, ease_table, facts, message, widget};

/// Shows the ticket.
pub fn show(ui: &mut Ui, desk: &Desk, requests: &mut Vec<Request>) {
    let seen = desk.seen();
    widget::column(ui, "ticket", |ui| {
        let piece = seen.chosen.piece().and_then(|name| seen.built.draft.piece(name.as_str()));
        match (seen.chosen, piece) {
            (Chosen::Piece(_), Some(piece)) => piece_ticket(ui, &seen, piece, requests),
            (Chosen::Edge(_, edge), Some(piece)) => edge_ticket(ui, &seen, piece, edge, requests),
            _ => garment_ticket(ui, &seen, requests),
        }
        ui.add_space(theme::APART);
    });
}

fn garment_ticket(ui: &mut Ui, seen: &Seen<'_>, requests: &mut Vec<Request>) {
    let built = seen.built;
    if !built.girths.is_empty() {
        widget::heading(ui, "Ease table");
        ease_table::show(ui, seen);
        ui.add_space(theme::APART - 6.0);
    }
    if !built.draft.figures.is_empty() {
        widget::heading(ui, "Figures of the draft");
        for figure in &built.draft.figures {
            let (value, low, high) = if figure.is_angle {
                (format!("{:.1}°", figure.value), format!("{:.0}°", figure.range.0), format!("{:.0}°", figure.range.1))
            } else {
                (seen.unit.text(figure.value), seen.unit.rough(figure.range.0), seen.unit.rough(figure.range.1))
            };
            ui.scope(|ui| widget::fact(ui, figure.what, &value)).response.on_hover_text(format!("A sound draft has {low} to {high}."));
        }
        ui.add_space(theme::APART - 6.0);
    }
    widget::heading(ui, "Checks");
    if built.messages.is_empty() {
        all_in_order(ui, built);
    }
    messages(ui, seen, built.messages.iter(), requests);
}

fn all_in_order(ui: &mut Ui, built: &Built) {
    let p = Palette::of(ui);
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(18.0, 18.0), Sense::hover());
        Icon::Tick.paint(ui.painter(), rect, 18.0, p.chalk);
        let text =
            if built.draft.pieces.is_empty() { "Nothing to check yet." } else { "All in order: seams agree, girths come out as asked." };
        ui.add(Label::new(text).wrap());
    });
}

/// Messages one below the other.
pub fn messages<'a>(ui: &mut Ui, seen: &Seen<'_>, list: impl Iterator<Item = &'a Message>, requests: &mut Vec<Request>) {
    for m in list {
        message::show(ui, seen, m, requests);
    }
}

/// The head of a ticket, with the way back.
pub fn head(ui: &mut Ui, title: &str, back: &str, to: Chosen, requests: &mut Vec<Request>) {
    let p = Palette::of(ui);
    ui.horizontal(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if widget::icon_button(ui, Icon::Close, back, "", true).clicked() {
                requests.push(Request::Choose(to));
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                ui.add(Label::new(RichText::new(title).font(FontId::new(18.0, theme::strong())).color(p.ink)).wrap());
            });
        });
    });
    widget::basting(ui);
}

fn piece_ticket(ui: &mut Ui, seen: &Seen<'_>, piece: &Piece, requests: &mut Vec<Request>) {
    let p = Palette::of(ui);
    let unit = seen.unit;
    head(ui, piece.name().as_str(), "Back to the whole garment", Chosen::Nothing, requests);
    let b = piece.bounds();
    widget::fact(ui, "To cut", &facts::cut_words(piece));
    widget::fact(ui, "Across", &unit.text(b.width()));
    widget::fact(ui, "Down", &unit.text(b.height()));
    widget::fact(ui, "Area inside the seam lines", &facts::area(piece.area_mm2(), unit));
    ui.add_space(8.0);
    widget::heading(ui, "Edges");
    for edge in piece.edges() {
        let length = piece.edge_length_mm(edge.name.as_str()).unwrap_or(0.0);
        let on_hover = match facts::partners(seen.built, piece.name().as_str(), edge.name.as_str()).first() {
            Some(partner) => format!("{}, sewn to {}", edge.role.word(), partner.other.0),
            None => edge.role.word().to_owned(),
        };
        let text = format!("{}: {}, {on_hover}", edge.name, unit.text(length));
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 30.0), Sense::click());
        response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, &text));
        if response.hovered() || response.has_focus() {
            ui.painter().rect_filled(rect.expand2(vec2(4.0, 0.0)), 4.0, p.button);
        }
        widget::paint_text(ui, rect.left_center(), Align2::LEFT_CENTER, edge.name.as_str(), TextStyle::Body.resolve(ui.style()), p.ink);
        widget::paint_text(ui, rect.right_center(), Align2::RIGHT_CENTER, &unit.text(length), theme::strong_body(), p.ink);
        let middle = pos2(rect.right() - 78.0, rect.center().y);
        widget::paint_text(ui, middle, Align2::RIGHT_CENTER, edge.role.word(), theme::small(), p.ink_soft);
        if response.clicked() {
            requests.push(Request::Choose(Chosen::Edge(piece.name().clone(), edge.name.clone())));
        }
        response.on_hover_text(on_hover);
    }
    if !piece.darts().is_empty() {
        ui.add_space(8.0);
        widget::heading(ui, "Darts");
        for dart in piece.darts() {
            let leg = piece.edge_length_mm(dart.leg_a.as_str()).unwrap_or(0.0);
            widget::fact(ui, dart.name.as_str(), &format!("legs {}", unit.text(leg)));
        }
    }
    touching(ui, seen, requests, |m| m.place.contains(piece.name().as_str()));
}

fn edge_ticket(ui: &mut Ui, seen: &Seen<'_>, piece: &Piece, name: &Name, requests: &mut Vec<Request>) {
    let p = Palette::of(ui);
    let unit = seen.unit;
    let Some(edge) = piece.edge(name.as_str()) else { return };
    let back = format!("Back to {}", piece.name());
    head(ui, &format!("{} / {}", piece.name(), edge.name), &back, Chosen::Piece(piece.name().clone()), requests);
    widget::fact(ui, "Length", &unit.text(piece.edge_length_mm(name.as_str()).unwrap_or(0.0)));
    widget::fact(ui, "What happens here", edge.role.word());
    let allowance = match (edge.role, edge.allowance_mm > 0.0) {
        (Role::Fold, _) => "none, on the fold".to_owned(),
        (_, false) => "none".to_owned(),
        (_, true) => unit.text(edge.allowance_mm),
    };
    widget::fact(ui, "Seam allowance", &allowance);
    let parts = piece.edge_parts(name.as_str()).count();
    if parts > 1 {
        widget::fact(ui, "In parts", &format!("{parts}, darts between"));
    }
    for partner in facts::partners(seen.built, piece.name().as_str(), name.as_str()) {
        ui.add_space(8.0);
        widget::heading(ui, "Sewn to");
        widget::raised(ui).show(ui, |ui| {
            ui.set_width(ui.available_width());
            if let Some((own, mm)) = &partner.own {
                ui.add(Label::new(RichText::new(format!("{own}   {}", unit.text(*mm))).color(p.ink_soft)).wrap());
                widget::soft(ui, "together sewn to");
            }
            ui.add(Label::new(RichText::new(&partner.other.0).font(theme::strong_body())).wrap());
            widget::fact(ui, "Its length", &unit.text(partner.other.1));
            if partner.ease_mm.abs() > 0.05 {
                let word = if partner.ease_mm > 0.0 { "Eased in here" } else { "Eased in there" };
                widget::fact(ui, word, &unit.text(partner.ease_mm.abs()));
            }
            let off = partner.difference_mm;
            let text = if off.abs() <= draft_core::SEWN_MM { "agrees".to_owned() } else { format!("{} off", unit.text(off)) };
            widget::fact(ui, "Walked", &text);
            if let Some(run) = &partner.edge
                && ui.button(format!("Show {} / {}", run.piece, run.edge)).clicked()
            {
                requests.push(Request::Choose(Chosen::Edge(run.piece.clone(), run.edge.clone())));
            }
        });
    }
    touching(ui, seen, requests, |m| m.place.contains(piece.name().as_str()) && m.place.contains(name.as_str()));
}

/// The messages that touch what is selected.
fn touching(ui: &mut Ui, seen: &Seen<'_>, requests: &mut Vec<Request>, touches: impl Fn(&Message) -> bool) {
    let list: Vec<&Message> = seen.built.messages.iter().filter(|m| touches(m)).collect();
    ui.add_space(10.0);
    widget::heading(ui, "Checks");
    if list.is_empty() {
        widget::soft(ui, "Nothing to say here.");
    }
    messages(ui, seen, list.into_iter(), requests);
}
