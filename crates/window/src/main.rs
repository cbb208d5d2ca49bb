//! Opens the window.

use std::process::ExitCode;
use std::time::Instant;

use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy::window::{PresentMode, WindowResolution};
use clap::Parser;
use larkfield_files::radio::load_radio;
use larkfield_window::activity::Activity;
use larkfield_window::args::Arguments;
use larkfield_window::attempt::{AttemptPlugin, Keep};
use larkfield_window::control::ControlPlugin;
use larkfield_window::drill::{DrillPlugin, drill_of};
use larkfield_window::eyes::{EyesPlugin, Look, Screen};
use larkfield_window::field::FieldPlugin;
use larkfield_window::first_frame::{Began, FirstFramePlugin};
use larkfield_window::guide::GuidePlugin;
use larkfield_window::hud::{HudPlugin, Shown};
use larkfield_window::measure::MeasurePlugin;
use larkfield_window::menu::MenuPlugin;
use larkfield_window::opening::opening;
use larkfield_window::picture::{PicturePlugin, Pictures};
use larkfield_window::plane::PlanePlugin;
use larkfield_window::replay::ReplayPlugin;
use larkfield_window::session::Session;
use larkfield_window::settings::{Kept, Remembered, Settings};
use larkfield_window::shadow::ShadowPlugin;
use larkfield_window::sound::SoundPlugin;
use larkfield_window::sticks::OwnSticks;
use larkfield_window::walk::{self, Walk, WalkPlugin};

fn main() -> ExitCode {
    let began = Instant::now();
    let arguments = Arguments::parse();
    // Pictures look the same for everybody.
    let kept = if arguments.pictures.is_some() && arguments.walk.is_none() {
        None
    } else {
        Some(Kept::read())
    };
    if let Some(complaint) = kept.as_ref().and_then(|kept| kept.complaint.as_ref()) {
        eprintln!("{complaint}.");
    }
    let kept = kept.unwrap_or_else(Kept::nowhere);
    let asked = arguments.request(&kept.settings);
    let mut opened = Session::open(asked.clone());
    // What was chosen the last time may be gone by now; that must not lock
    // anybody out.
    let plain = arguments.request(&Settings::default());
    if let Err(failure) = &opened
        && asked != plain
    {
        eprintln!(
            "What was chosen before cannot be flown: {:#}.",
            failure.error
        );
        opened = Session::open(plain);
    }
    let session = match opened {
        Ok(session) => session,
        Err(failure) => {
            eprintln!("{:#}", failure.error);
            return ExitCode::from(failure.code);
        }
    };
    let instructor = match arguments.instructor.as_deref().map(load_radio) {
        None => None,
        Some(Ok(radio)) => Some(radio),
        Some(Err(error)) => {
            eprintln!("{error}");
            return ExitCode::from(2);
        }
    };
    let pilot = session.inputs().radio.clone().filter(|_| flies(&arguments));
    let sticks = match OwnSticks::open(pilot, instructor) {
        Ok(sticks) => sticks,
        Err(error) => {
            eprintln!("{error}");
            return ExitCode::FAILURE;
        }
    };
    if arguments.radio.is_some() || arguments.instructor.is_some() {
        println!(
            "Before you move a stick: flight battery disconnected, propeller off, and the radio's \
             own transmission off where it allows that."
        );
    }
    match run(&arguments, kept, session, sticks, began) {
        AppExit::Success => ExitCode::SUCCESS,
        AppExit::Error(code) => ExitCode::from(code.get()),
    }
}

/// A run that is watched again has its radio file, and nobody at it.
fn flies(arguments: &Arguments) -> bool {
    arguments.again.is_none()
}

fn run(
    arguments: &Arguments,
    kept: Kept,
    session: Session,
    sticks: OwnSticks,
    began: Instant,
) -> AppExit {
    let (width, height) = arguments.size;
    let window = Window {
        title: "Larkfield".to_owned(),
        resolution: WindowResolution::new(width, height),
        present_mode: if arguments.measure {
            PresentMode::AutoNoVsync
        } else {
            PresentMode::AutoVsync
        },
        ..default()
    };
    let mut app = App::new();
    let drill = arguments
        .drill
        .as_deref()
        .map(|name| drill_of(name, &session, arguments.drill_seed()));
    let view = DefaultPlugins
        .set(WindowPlugin {
            primary_window: Some(window),
            ..default()
        })
        .set(LogPlugin {
            filter: "error".to_owned(),
            ..default()
        });
    opening(|| {
        app.add_plugins(view);
    });
    app.add_plugins((
        ControlPlugin,
        FieldPlugin,
        PlanePlugin,
        ShadowPlugin,
        EyesPlugin,
        HudPlugin,
        FirstFramePlugin,
        ReplayPlugin,
    ))
    .insert_resource(Began(began))
    .insert_non_send(sticks)
    .insert_resource(Keep(!arguments.discard && arguments.pictures.is_none()))
    .insert_resource(Screen {
        width_m: arguments.picture_width_mm / 1000.0,
        distance_m: arguments.eye_distance_mm / 1000.0,
    })
    .insert_resource(Shown {
        all: !arguments.bare,
        ..default()
    })
    .insert_resource(match arguments.look.as_str() {
        "thrower" => Look::Thrower,
        "chase" => Look::Chase,
        _ => Look::Pilot,
    });
    let first = if drill.is_some() {
        Activity::Drill
    } else if arguments.names_nothing() && !kept.settings.shown_around && kept.file.is_some() {
        Activity::Guide
    } else {
        Activity::Flight
    };
    if let Some(drill) = drill {
        app.insert_resource(drill);
    }
    let mut settings = kept.settings.clone();
    settings.plain_this_time = arguments.plain;
    app.insert_resource(Remembered::from(&kept))
        .insert_resource(settings)
        .insert_state(first)
        .add_plugins((AttemptPlugin, DrillPlugin, MenuPlugin, GuidePlugin))
        .insert_non_send(session)
        .add_systems(Update, smooth);
    if arguments.measure {
        app.add_plugins(MeasurePlugin);
    } else if arguments.pictures.is_none() {
        app.add_plugins(SoundPlugin);
    }
    if let Some(folder) = &arguments.pictures {
        if let Err(error) = std::fs::create_dir_all(folder) {
            eprintln!("{}: {error}", folder.display());
            return AppExit::error();
        }
        if let Some(script) = &arguments.walk {
            let read = std::fs::read_to_string(script)
                .map_err(|e| e.to_string())
                .and_then(|text| walk::read(&text));
            match read {
                Ok(steps) => app
                    .add_plugins(WalkPlugin)
                    .insert_resource(Walk::new(steps, folder)),
                Err(why) => {
                    eprintln!("{}: {why}", script.display());
                    return AppExit::from_code(2);
                }
            };
        } else if arguments.at.is_empty() {
            eprintln!("--pictures: say when, with --at S,S,... or --walk FILE");
            return AppExit::from_code(2);
        } else {
            let mut at_s = arguments.at.clone();
            at_s.sort_by(f64::total_cmp);
            app.add_plugins(PicturePlugin).insert_resource(Pictures {
                at_s,
                folder: folder.clone(),
                taken: 0,
            });
        }
    }
    app.run()
}

/// Edges are smoothed unless the machine is weak.
fn smooth(settings: Res<Settings>, mut cameras: Query<&mut Msaa>) {
    let wanted = if settings.is_plain() {
        Msaa::Off
    } else {
        Msaa::default()
    };
    for mut msaa in &mut cameras {
        msaa.set_if_neq(wanted);
    }
}
