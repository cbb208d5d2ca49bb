//! Opens the window.

use std::process::ExitCode;
use std::time::Instant;

use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy::window::{PresentMode, WindowResolution};
use clap::Parser;
use larkfield_window::args::Arguments;
use larkfield_window::attempt::{AttemptPlugin, Keep};
use larkfield_window::control::ControlPlugin;
use larkfield_window::drill::{
    ControlExercise, Drill, DrillPlugin, OrientationExercise, PowerExercise,
};
use larkfield_window::eyes::{EyesPlugin, Look, Screen};
use larkfield_window::field::FieldPlugin;
use larkfield_window::first_frame::{Began, FirstFramePlugin};
use larkfield_window::hud::{HudPlugin, Shown};
use larkfield_window::picture::{PicturePlugin, Pictures};
use larkfield_window::plane::PlanePlugin;
use larkfield_window::session::Session;
use larkfield_window::shadow::ShadowPlugin;
use larkfield_window::sticks::OwnSticks;

fn main() -> ExitCode {
    let began = Instant::now();
    let arguments = Arguments::parse();
    let session = match Session::open(arguments.request()) {
        Ok(session) => session,
        Err(failure) => {
            eprintln!("{:#}", failure.error);
            return ExitCode::from(failure.code);
        }
    };
    let sticks = match OwnSticks::open(session.inputs().radio.clone().filter(|_| flies(&arguments)))
    {
        Ok(sticks) => sticks,
        Err(error) => {
            eprintln!("{error}");
            return ExitCode::FAILURE;
        }
    };
    if arguments.radio.is_some() {
        println!(
            "Before you move a stick: flight battery disconnected, propeller off, and the radio's \
             own transmission off where it allows that."
        );
    }
    match run(&arguments, session, sticks, began) {
        AppExit::Success => ExitCode::SUCCESS,
        AppExit::Error(code) => ExitCode::from(code.get()),
    }
}

/// A run that is watched again has its radio file, and nobody at it.
fn flies(arguments: &Arguments) -> bool {
    arguments.again.is_none()
}

fn run(arguments: &Arguments, session: Session, sticks: OwnSticks, began: Instant) -> AppExit {
    let (width, height) = arguments.size;
    let window = Window {
        title: "Larkfield".to_owned(),
        resolution: WindowResolution::new(width, height),
        present_mode: PresentMode::AutoVsync,
        ..default()
    };
    let mut app = App::new();
    let drill = arguments
        .drill
        .as_deref()
        .map(|name| drill_of(name, &session, arguments.drill_seed()));
    app.add_plugins(
        DefaultPlugins
            .set(WindowPlugin {
                primary_window: Some(window),
                ..default()
            })
            .set(LogPlugin {
                filter: "error".to_owned(),
                ..default()
            }),
    )
    .add_plugins((
        ControlPlugin,
        FieldPlugin,
        PlanePlugin,
        ShadowPlugin,
        EyesPlugin,
        HudPlugin,
        FirstFramePlugin,
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
    match drill {
        Some(drill) => app.insert_resource(drill).add_plugins(DrillPlugin),
        None => app.add_plugins(AttemptPlugin),
    };
    app.insert_non_send(session);
    if arguments.plain {
        app.add_systems(Update, smooth_nothing);
    }
    if let Some(folder) = &arguments.pictures {
        if let Err(error) = std::fs::create_dir_all(folder) {
            eprintln!("{}: {error}", folder.display());
            return AppExit::error();
        }
        let mut at_s = arguments.at.clone();
        at_s.sort_by(f64::total_cmp);
        app.add_plugins(PicturePlugin).insert_resource(Pictures {
            at_s,
            folder: folder.clone(),
            taken: 0,
        });
    }
    app.run()
}

/// The drill of a name.
fn drill_of(name: &str, session: &Session, seed: u64) -> Drill {
    Drill(match name {
        "before-power" => Box::new(PowerExercise::new(seed)),
        "orientation" => Box::new(OrientationExercise::new(16, seed)),
        _ => Box::new(ControlExercise::new(session, 5, seed)),
    })
}

fn smooth_nothing(mut cameras: Query<&mut Msaa>) {
    for mut msaa in &mut cameras {
        msaa.set_if_neq(Msaa::Off);
    }
}
