//! People as bodies, and how near a plane comes to them.

use glam::DVec3;
use larkfield_pilot::Arm;
use larkfield_recording::Person;

/// Somebody standing on the field: an upright capsule on the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PersonBody {
    /// Who.
    pub person: Person,
    /// North of the launch point.
    pub north_m: f64,
    /// East of the launch point.
    pub east_m: f64,
    /// Radius of the capsule.
    pub radius_m: f64,
    /// Height of the top of the head.
    pub height_m: f64,
}

impl PersonBody {
    /// An adult: 1.75 m tall, 0.25 m from the middle to the elbow.
    pub fn adult(person: Person, north_m: f64, east_m: f64) -> Self {
        Self {
            person,
            north_m,
            east_m,
            radius_m: 0.25,
            height_m: 1.75,
        }
    }

    /// Eyes, a little below the top of the head; world axes.
    pub fn eyes_m(&self) -> DVec3 {
        DVec3::new(self.north_m, self.east_m, -(self.height_m - 0.1).max(0.0))
    }

    /// Ends of the capsule's inner line, feet first; world axes.
    pub fn axis_m(&self) -> (DVec3, DVec3) {
        let top_m = (self.height_m - self.radius_m).max(self.radius_m);
        (
            DVec3::new(self.north_m, self.east_m, -self.radius_m),
            DVec3::new(self.north_m, self.east_m, -top_m),
        )
    }

    /// Distance from a point to the surface of the body, 0 inside.
    pub fn distance_m(&self, point_m: DVec3) -> f64 {
        let to_axis_m = (point_m - self.nearest_axis_point(point_m)).length();
        (to_axis_m - self.radius_m).max(0.0)
    }

    /// Distance from a disk to the surface of the body, 0 when they touch.
    pub fn distance_to_disk_m(&self, disk: &Disk) -> f64 {
        let (feet_m, head_m) = self.axis_m();
        (disk.distance_to_line_m(feet_m, head_m) - self.radius_m).max(0.0)
    }

    fn nearest_axis_point(&self, point_m: DVec3) -> DVec3 {
        let (feet, head) = self.axis_m();
        DVec3::new(self.north_m, self.east_m, point_m.z.max(head.z).min(feet.z))
    }
}

/// A propeller's disk.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Disk {
    /// Hub, world axes.
    pub centre_m: DVec3,
    /// Unit vector of the shaft, world axes.
    pub axis: DVec3,
    /// Tip radius.
    pub radius_m: f64,
    /// It turns fast enough to cut.
    pub turning: bool,
}

impl Disk {
    /// Distance from a straight line between two points.
    ///
    /// Disk and line are convex, so going back and forth between nearest points
    /// converges to the shortest distance (method of alternating projections;
    /// Bauschke and Borwein, SIAM Review 38, 1996, from memory).
    pub fn distance_to_line_m(&self, from_m: DVec3, to_m: DVec3) -> f64 {
        let along_m = to_m - from_m;
        let square = along_m.length_squared().max(1e-12);
        let nearest = |point_m: DVec3| {
            let share = ((point_m - from_m).dot(along_m) / square).clamp(0.0, 1.0);
            from_m + along_m * share
        };
        let mut on_line_m = nearest(self.centre_m);
        let mut distance_m = f64::INFINITY;
        for _ in 0..24 {
            let on_disk_m = self.nearest_point(on_line_m);
            on_line_m = nearest(on_disk_m);
            distance_m = (on_disk_m - on_line_m).length();
        }
        distance_m
    }

    /// Whether it meets the hand or the arm that throws.
    pub fn meets(&self, arm: &Arm) -> bool {
        let from_hand_m = self.nearest_point(arm.hand_m) - arm.hand_m;
        // Far away nothing needs a closer look.
        if from_hand_m.length() > 2.0 {
            return false;
        }
        from_hand_m.length() < Arm::HAND_RADIUS_M
            || [(arm.hand_m, arm.elbow_m), (arm.elbow_m, arm.shoulder_m)]
                .into_iter()
                .any(|(from_m, to_m)| self.distance_to_line_m(from_m, to_m) < Arm::FOREARM_RADIUS_M)
    }

    /// Point of the disk nearest to another point.
    pub fn nearest_point(&self, point_m: DVec3) -> DVec3 {
        let offset_m = point_m - self.centre_m;
        let across_m = offset_m - self.axis * offset_m.dot(self.axis);
        let length_m = across_m.length();
        if length_m > self.radius_m {
            self.centre_m + across_m * (self.radius_m / length_m)
        } else {
            self.centre_m + across_m
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_to_a_person_follow_from_geometry() {
        let person = PersonBody::adult(Person::Bystander, 0.0, 0.0);
        // Beside the chest: 3 m to the middle, 0.25 m of it body.
        assert!((person.distance_m(DVec3::new(0.0, 3.0, -1.0)) - 2.75).abs() < 1e-12);
        // Straight above: the top of the head is at 1.75 m.
        assert!((person.distance_m(DVec3::new(0.0, 0.0, -5.0)) - 3.25).abs() < 1e-12);
        assert_eq!(person.distance_m(DVec3::new(0.1, 0.0, -1.0)), 0.0);
    }

    #[test]
    fn distances_to_a_disk_follow_from_geometry() {
        let person = PersonBody::adult(Person::Bystander, 0.0, 0.0);
        let disk = |axis, north_m| Disk {
            centre_m: DVec3::new(north_m, 0.0, -1.0),
            axis,
            radius_m: 0.1,
            turning: true,
        };
        // Facing the person: every point of the disk is 1 m away to the north.
        let facing = person.distance_to_disk_m(&disk(DVec3::X, 1.0));
        assert!((facing - 0.75).abs() < 1e-6, "{facing}");
        // Edge on: the rim is 0.1 m nearer than the hub.
        let edge_on = person.distance_to_disk_m(&disk(DVec3::Y, 1.0));
        assert!((edge_on - 0.65).abs() < 1e-6, "{edge_on}");
        assert_eq!(person.distance_to_disk_m(&disk(DVec3::Y, 0.3)), 0.0);
    }
}
