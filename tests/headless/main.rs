//! Checks that run anywhere: no adapter, no display.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "a check that cannot go on says where, and a timing what it took; its files live in folders of its own"
)]
#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::excessive_precision,
    clippy::float_cmp,
    reason = "checks count small things, quote values as printed, and exact equality is often the claim"
)]

mod background;
mod bad_decks;
mod calibrate;
mod calibration;
mod camera_findings;
mod camera_like;
mod camera_parts;
mod chain_findings;
mod chart;
mod check;
mod check_page;
mod check_watch;
mod command_line;
#[path = "../support/compare.rs"]
mod compare;
mod components;
mod content;
mod contours;
mod contrast;
mod cpu_engine;
mod damaged_jpeg;
mod dark_color;
mod darken;
mod darkened_deck;
mod deck;
mod deck_commands;
mod documents;
mod double_image;
#[path = "../support/drawn_strokes.rs"]
mod drawn_strokes;
mod each_kind;
mod figure_edge;
mod figures_of_ink;
mod formats;
#[path = "../support/frames.rs"]
mod frames;
mod free_space;
mod geometry;
mod glass;
mod glass_edges;
mod gpu_layout;
#[path = "../support/gpu_probe.rs"]
mod gpu_probe;
mod help;
mod histogram;
mod ink_company;
mod ink_trees;
mod inspect;
mod inspect_like;
mod inspect_page;
mod key_suggestion;
mod keyed_findings;
mod known_textures;
mod layering;
#[path = "../support/lettering.rs"]
mod lettering;
mod marked;
#[path = "../../examples/calibration_score/mixer.rs"]
mod mixer;
mod outputs;
mod outside;
mod overlap;
mod palette;
#[path = "../support/pdfs.rs"]
mod pdfs;
mod pixel_laws;
mod placed_slide;
mod presenter;
mod published;
mod reduced_picture;
mod repeated;
mod room;
mod schemas;
mod seen_detail;
mod seen_line;
mod setup_file;
mod setup_words;
mod shader_contract;
#[path = "../../examples/calibration_score/simulation.rs"]
mod simulation;
mod slide_levels;
mod told_apart;
mod tune;
mod watch;
mod window_checks;
mod window_engine;
mod window_findings;
mod window_inspect;
mod window_like;
mod window_names;
mod window_panels;
mod window_picture;
mod window_pictures;
mod window_reading;
mod window_rescue;
mod window_sight;
mod window_state;
mod window_strip;
mod window_zones;
mod zones;
