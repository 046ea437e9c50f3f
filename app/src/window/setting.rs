//! One setting of a block as a row: its name, its field or choices, a slider, and what is wrong with it.

use draft_core::{Setting, SettingKind, SettingValue, Settings, Unit};
use egui::{Align, Layout, RichText, Slider, Ui, WidgetInfo};

use super::blocks::fault;
use super::pen::Pen;
use super::theme::{self, Palette};
use super::{Request, widget};
use crate::edit::Command;

/// A setting whose slider is being dragged.
pub struct Dragging {
    work: usize,
    key: &'static str,
    /// Its value so far, in millimetres, degrees or plain.
    value: f64,
}

/// The row of one setting.
#[derive(Clone, Copy)]
pub struct SettingRow<'a> {
    /// Which work, from 0.
    pub work: usize,
    /// The setting.
    pub setting: &'static Setting,
    /// What is set in this work.
    pub settings: &'a Settings,
    /// The unit in which lengths are shown and typed.
    pub unit: Unit,
}

impl SettingRow<'_> {
    /// Shows the row.
    pub fn show(&self, ui: &mut Ui, dragging: &mut Option<Dragging>, pen: &mut Pen, requests: &mut Vec<Request>) {
        let p = Palette::of(ui);
        let Self { work, setting, settings, unit } = *self;
        ui.add_space(3.0);
        let set = settings.is_set(setting);
        let value = settings.get(setting);
        let id = widget::steady(("setting", work, setting.key));
        let label = ui
            .horizontal(|ui| {
                ui.spacing_mut().interact_size.y = 22.0;
                let label = ui.label(RichText::new(setting.label).color(p.ink)).on_hover_text(setting.what);
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    if set {
                        let to = setting.default_value().text(unit);
                        let reset = ui.add(
                            egui::Button::new(RichText::new(format!("back to {to}")).font(theme::small()).color(p.chalk))
                                .small()
                                .frame_when_inactive(false),
                        );
                        if reset
                            .on_hover_text(format!("Go back to the default, {to}"))
                            .accessible_name(format!("{}: go back to {to}", setting.label))
                            .clicked()
                        {
                            pen.accept(id);
                            requests.push(Request::Edit(Command::Set { work, setting, value: None }));
                        }
                    }
                });
                label
            })
            .inner;
        match setting.kind {
            SettingKind::Choice(words) => {
                let all: Vec<_> = words.iter().map(|w| (*w, *w, format!("{}: {w}", setting.label))).collect();
                let now = settings.word(setting);
                let now = words.iter().copied().find(|w| *w == now).unwrap_or("");
                if let Some(word) = widget::choices(ui, setting.key, now, &all) {
                    requests.push(Request::Edit(Command::Set { work, setting, value: Some(SettingValue::Word(word.to_owned())) }));
                }
            }
            SettingKind::Length { least, most } | SettingKind::Angle { least, most } | SettingKind::Number { least, most, .. } => {
                let help = format!("{} Takes {}.", setting.what, setting.takes(unit));
                let mut writing = false;
                ui.horizontal(|ui| {
                    let text = value.text(unit);
                    let refused = pen.refused(id).is_some();
                    let line = pen.line(ui, id, &text, |edit| edit.desired_width(96.0).text_color_opt(refused.then_some(p.madder)));
                    writing = line.response.has_focus();
                    line.response.labelled_by(label.id).on_hover_text(&help);
                    if let Some(typed) = line.typing
                        && let Ok(value) = setting.parse(&typed, unit)
                    {
                        requests.push(Request::Typing { command: Command::Set { work, setting, value: Some(value) }, preview: true });
                    }
                    if let Some(typed) = line.done {
                        match setting.parse(&typed, unit) {
                            Ok(value) => {
                                pen.accept(id);
                                requests.push(Request::Edit(Command::Set { work, setting, value: Some(value) }));
                            }
                            Err(_) => pen.refuse(id, typed),
                        }
                    }
                    self.slider(ui, dragging, (least, most), requests);
                });
                if writing {
                    widget::soft(ui, help);
                }
                if let Some(typed) = pen.refused(id)
                    && let Err(error) = setting.parse(typed, unit)
                {
                    fault(ui, &error.problem, &error.remedy);
                }
            }
        }
    }

    /// A slider beside the field: shows while it is dragged, and is one step when it is let go.
    fn slider(&self, ui: &mut Ui, dragging: &mut Option<Dragging>, (least, most): (f64, f64), requests: &mut Vec<Request>) {
        let Self { work, setting, settings, .. } = *self;
        let now = settings.value(setting);
        let own = |d: &Dragging| d.work == work && d.key == setting.key;
        let mut v = dragging.as_ref().filter(|d| own(d)).map_or(now, |d| d.value);
        let step = match setting.kind {
            SettingKind::Number { whole: true, .. } => 1.0,
            SettingKind::Length { .. } if most - least > 1500.0 => 10.0,
            SettingKind::Length { .. } => 1.0,
            SettingKind::Number { whole: false, .. } => 0.05,
            _ => 0.5,
        };
        ui.spacing_mut().slider_width = (ui.available_width() - 4.0).max(40.0);
        // The slider itself knows no steps: it would move a value that lies between two of them just by showing it.
        let response = ui.add(Slider::new(&mut v, least..=most).show_value(false));
        if response.dragged() {
            v = ((v / step).round() * step).clamp(least, most);
        } else if response.changed() && !response.drag_stopped() {
            v = (now + step * (v - now).signum()).clamp(least, most);
        }
        response.widget_info(|| WidgetInfo::slider(true, v, format!("{}, slider", setting.label)));
        let value = || match setting.kind {
            SettingKind::Length { .. } => SettingValue::Length(v),
            SettingKind::Angle { .. } => SettingValue::Angle(v),
            _ => SettingValue::Number(v),
        };
        let command = || Command::Set { work, setting, value: Some(value()) };
        if response.dragged() {
            *dragging = Some(Dragging { work, key: setting.key, value: v });
            requests.push(Request::Typing { command: command(), preview: true });
        } else if dragging.take_if(|d| own(d)).is_some() || response.changed() {
            requests.push(Request::Edit(command()));
        }
    }
}
