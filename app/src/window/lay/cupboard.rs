//! What of a cloth is in the cupboard: lengths, each with its flaws.

use draft_core::cloth::{Bolt, Cloth, Flaw};
use draft_core::{DraftError, Length};
use egui::Ui;

use super::field::{Field, Form, length, perhaps_length, text};
use crate::edit::ClothCommand;
use crate::window::icon::Icon;
use crate::window::widget;

/// Shows the lengths.
pub fn show(ui: &mut Ui, form: &mut Form<'_>, at: usize, cloth: &Cloth) {
    let change = |with: &dyn Fn(&mut Vec<Bolt>)| -> Result<ClothCommand, DraftError> {
        let mut cloth = cloth.clone();
        with(&mut cloth.cupboard);
        cloth.check()?;
        Ok(ClothCommand::Change { at, cloth })
    };
    let unit = form.unit;
    for (i, bolt) in cloth.cupboard.iter().enumerate() {
        let of = |bolts: &mut Vec<Bolt>, with: &dyn Fn(&mut Bolt)| {
            if let Some(bolt) = bolts.get_mut(i) {
                with(bolt);
            }
        };
        let name = |what: &str| format!("Length {}: {what}", i + 1);
        let id = |what: &str| widget::steady(("cupboard", at, i, what));
        ui.horizontal(|ui| {
            widget::soft(ui, format!("Length {}", i + 1));
            let out = widget::icon_button(ui, Icon::Remove, &format!("Take out length {}", i + 1), "", true);
            if out.clicked()
                && let Ok(command) = change(&|bolts| {
                    bolts.remove(i);
                })
            {
                form.do_it(command);
            }
        });
        let row = |ui: &mut Ui, form: &mut Form<'_>, what: &str, about: &str, now: String, with: &dyn Fn(&mut Bolt, Length)| {
            let name = name(what);
            let field = Field { id: id(what), name: &name, about, width: 110.0 };
            form.row(ui, field, &now, length(unit), |l| change(&|bolts| of(bolts, &|b| with(b, l))));
        };
        row(ui, form, "long", "How long it is", bolt.length.text(unit), &|b, l| b.length = l);
        let wide = name("wide");
        let field = Field { id: id("wide"), name: &wide, about: "Its width with the selvedges, when it is not the cloth's", width: 110.0 };
        let now = bolt.width.map_or_else(String::new, |w| w.text(unit));
        form.row(ui, field, &now, perhaps_length(unit), |l| change(&|bolts| of(bolts, &|b| b.width = l)));
        let note = name("note");
        let field = Field { id: id("note"), name: &note, about: "Where it lies, what it is left from", width: 130.0 };
        form.row(ui, field, &bolt.note, text, |x| change(&|bolts| of(bolts, &|b| b.note.clone_from(&x))));
        for (n, flaw) in bolt.flaws.iter().enumerate() {
            let change_flaw = |with: &dyn Fn(&mut Flaw)| {
                change(&|bolts| {
                    of(bolts, &|b| {
                        if let Some(flaw) = b.flaws.get_mut(n) {
                            with(flaw);
                        }
                    });
                })
            };
            ui.horizontal(|ui| {
                widget::soft(ui, format!("Flaw {} in length {}: a rectangle that can't be used", n + 1, i + 1));
                let out = widget::icon_button(ui, Icon::Remove, &format!("Take out flaw {} of length {}", n + 1, i + 1), "", true);
                if out.clicked()
                    && let Ok(command) = change(&|bolts| {
                        of(bolts, &|b| {
                            b.flaws.remove(n);
                        });
                    })
                {
                    form.do_it(command);
                }
            });
            let mut row = |ui: &mut Ui, what: &str, about: &str, now: Length, with: &dyn Fn(&mut Flaw, Length)| {
                let name = format!("Flaw {}: {what}", n + 1);
                let field = Field { id: widget::steady(("flaw", at, i, n, what)), name: &name, about, width: 110.0 };
                form.row(ui, field, &now.text(unit), length(unit), |l| change_flaw(&|f| with(f, l)));
            };
            row(ui, "from the end", "From the cut end to where it begins", flaw.from_end, &|f, l| f.from_end = l);
            row(ui, "from selvedge", "From the edge of the lower selvedge to where it begins", flaw.from_selvedge, &|f, l| {
                f.from_selvedge = l
            });
            row(ui, "long", "Along the cloth", flaw.long, &|f, l| f.long = l);
            row(ui, "wide", "Across it", flaw.wide, &|f, l| f.wide = l);
        }
        let add = ui.button("Mark a flaw").accessible_name(format!("Mark a flaw in length {}", i + 1));
        if add.on_hover_text("A stain, a hole, a fault in the weave: nothing is laid on it").clicked() {
            let cm = Length::from_cm;
            let flaw = Flaw { from_end: cm(10.0), from_selvedge: cm(10.0), long: cm(5.0), wide: cm(5.0) };
            if let Ok(command) = change(&|bolts| of(bolts, &|b| b.flaws.push(flaw))) {
                form.do_it(command);
            }
        }
        widget::basting(ui);
    }
    if widget::button(ui, Icon::Plus, "Add a length").clicked()
        && let Ok(command) =
            change(&|bolts| bolts.push(Bolt { length: Length::from_cm(100.0), width: None, flaws: Vec::new(), note: String::new() }))
    {
        form.do_it(command);
    }
}
