//! What the file says of itself and of its words, read by parsers that are not the writer's.

use super::readers::{PageRead, hayro, parsed};
use super::{demo, on, printed};
use draft_core::print_settings::Paper;
use pdf::object::{PlainRef, Resolve};
use pdf::primitive::{Dictionary, Primitive};

/// The catalog and everything that it leads to.
struct Document<R: Resolve> {
    resolver: R,
    catalog: Dictionary,
}

impl<R: Resolve> Document<R> {
    fn new(resolver: R, root: PlainRef) -> Self {
        let catalog = resolver.resolve(root).unwrap().into_dictionary().unwrap();
        Self { resolver, catalog }
    }

    /// The value at a path of keys below the catalog.
    fn at(&self, keys: &[&str]) -> Primitive {
        keys.iter().fold(Primitive::Dictionary(self.catalog.clone()), |value, key| {
            let dictionary = value.into_dictionary().unwrap();
            let found = dictionary.get(key).unwrap_or_else(|| panic!("no {key} of {keys:?}")).clone();
            found.resolve(&self.resolver).unwrap()
        })
    }

    fn list(&self, keys: &[&str]) -> Vec<Primitive> {
        self.at(keys).into_array().unwrap()
    }
}

fn string(value: &Primitive) -> String {
    value.as_string().unwrap().to_string().unwrap()
}

/// Sources: ISO 32000-1, 12.2 (viewer preferences), 12.4.2 (page labels), 8.11 (optional content), 14.3.3 (information
/// dictionary).
#[test]
fn the_file_says_what_it_is() {
    let garment = on(Paper::A4);
    let (sheet, tiling, bytes) = printed(&garment);
    assert!(bytes.starts_with(b"%PDF-1.7"));
    let file = pdf::file::FileOptions::uncached().load(bytes.clone()).unwrap();
    let document = Document::new(file.resolver(), file.trailer.root.get_ref().get_inner());

    assert_eq!(document.at(&["ViewerPreferences", "PrintScaling"]).as_name().unwrap(), "None");

    // Each page has its own label: its name, and no number after it.
    let labels = document.list(&["PageLabels", "Nums"]);
    let labels: Vec<(i32, String)> = labels
        .chunks(2)
        .map(|pair| {
            let label = pair[1].clone().resolve(&document.resolver).unwrap().into_dictionary().unwrap();
            assert!(label.get("S").is_none());
            (pair[0].as_integer().unwrap(), string(label.get("P").unwrap()))
        })
        .collect();
    assert_eq!(labels.len() as u32, file.num_pages());
    assert_eq!(labels[0], (0, "map".to_owned()));
    for page in tiling.report().pages {
        assert_eq!(labels[page.page - 1], (page.page as i32 - 1, format!("{}{}", page.row, page.column)));
    }

    let groups = document.list(&["OCProperties", "OCGs"]);
    let mut layers: Vec<String> = groups
        .into_iter()
        .map(|g| string(g.resolve(&document.resolver).unwrap().into_dictionary().unwrap().get("Name").unwrap()))
        .collect();
    layers.sort();
    assert_eq!(layers, ["cut lines", "furniture", "marks", "seam lines"]);

    let info = file.trailer.info_dict.as_ref().unwrap();
    let title = info.title.as_ref().unwrap().to_string().unwrap();
    assert_eq!(title, sheet.title());
    assert!(title.contains(&garment.name) && title.contains(&garment.wearer.name), "{title}");

    // ISO 15930: PDF/X is claimed by an output intent and by keys of the information dictionary or the metadata.
    assert!(document.catalog.get("OutputIntents").is_none());
    if let Some(metadata) = &file.get_root().metadata {
        let stream = document.resolver.get(*metadata).unwrap();
        let text = String::from_utf8_lossy(&stream.data(&document.resolver).unwrap()).to_lowercase();
        assert!(!text.contains("pdfx"), "{text}");
    }
    assert!(!bytes.windows(8).any(|w| w == b"GTS_PDFX"));
}

#[test]
fn the_same_garment_gives_the_same_bytes() {
    let bytes = || printed(&on(Paper::A4)).2;
    assert_eq!(bytes(), bytes());
    let mut other = on(Paper::A4);
    other.name.push('2');
    assert_ne!(bytes(), printed(&other).2);
}

/// All words of a page in the order in which they are written, single spaces between them.
fn words(page: &PageRead) -> String {
    let runs: Vec<&str> = page.texts.iter().flat_map(|t| t.text.split_whitespace()).collect();
    runs.join(" ")
}

#[test]
fn names_are_found_by_searching() {
    let mut garment = demo();
    garment.name = "Kråke-Kjole Größe ½".into();
    garment.wearer.name = "Žofie Ångström-Țăranu".into();
    let (sheet, tiling, bytes) = printed(&garment);
    for (reader, pages) in [("hayro", hayro(&bytes)), ("pdf", parsed(&bytes))] {
        let pages: Vec<String> = pages.iter().map(words).collect();
        assert!(pages[0].contains(&garment.name) && pages[0].contains(&garment.wearer.name), "{reader}: {}", pages[0]);
        for piece in &sheet.pieces {
            // The label: the piece's name, its number, and whose it is; all of them on one of the pages.
            let label = [piece.name.clone(), format!("piece {} of {}", piece.number, sheet.pieces.len()), garment.wearer.name.clone()];
            let found = tiling.report().pages.iter().any(|p| label.iter().all(|l| pages[p.page - 1].contains(l)));
            assert!(found, "{reader}: no page has {label:?}");
        }
        assert!(!pages.iter().any(|p| p.contains('\u{fffd}')), "{reader}: a letter without its Unicode value");
    }
}
