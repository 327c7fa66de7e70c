package review

import (
	"github.com/plectrace/plectrace/motion"
	"github.com/plectrace/plectrace/motion/contact"
	"github.com/plectrace/plectrace/motion/cycle"
	"github.com/plectrace/plectrace/motion/drive"
	"github.com/plectrace/plectrace/trajectory"
	"github.com/plectrace/plectrace/variability"
	"github.com/plectrace/plectrace/variability/circular"
	"github.com/plectrace/plectrace/variability/estimate"
	"github.com/plectrace/plectrace/variability/settling"
)

// measures is the table. Names are fixed; more may follow.
var measures = []Measure{
	{"notes_per_second", "Strokes per second, over the take", "1/s", "cycle", Neither, Ratio, AnyView,
		inTime("rate", func(r *Review) estimate.Value[float64] { return estimate.As[float64](r.rates.take) })},
	{"settled_notes_per_second", "Strokes per second, in settled spans", "1/s", "cycle", Neither, Ratio, AnyView,
		inTime("rate of the settled spans", func(r *Review) estimate.Value[float64] { return estimate.As[float64](r.rates.settled) })},
	{"spectral_notes_per_second", "Strokes per second, from the spectrum", "1/s", "part", Neither, Ratio, AnyView,
		inTime("spectral rate", func(r *Review) estimate.Value[float64] { return estimate.As[float64](r.rates.spectral) })},
	{"settled_share", "Share of the playing time that is settled", "", "stroke", More, Share, AnyView,
		inTime("share of the time that is settled", func(r *Review) estimate.Value[float64] { return r.Settling.Share })},
	{"path_angle_deg", "Path angle", "degrees", "stroke", Neither, Axis, SameSetup,
		func(r *Review) estimate.Value[float64] { return degrees(r.pathAngle(r.pictureAngle(r.Motion.Strokes))) }},
	{"picture_angle_deg", "Path angle as the picture shows it, before what raise and skew hide", "degrees", "stroke", Neither, Axis, SameSetup,
		func(r *Review) estimate.Value[float64] {
			if r.Frame.View == trajectory.Spatial {
				return estimate.Missing[float64]("view", "picture angle", "with three axes nothing is hidden")
			}
			return degrees(r.pictureAngle(r.Motion.Strokes))
		}},
	{"path_angle_scatter_deg", "Path angle: scatter from stroke to stroke, noise removed", "degrees", "stroke", Less, Ratio, SameView,
		func(r *Review) estimate.Value[float64] {
			return r.scatter("path angle", r.unwrapped(pathAngleOf),
				func(s motion.Stroke) float64 { return s.Noise.Angle.Degrees() })
		}},
	{"skew_deg", "Skew", "degrees", "stroke", Neither, Axis, SameSetup,
		func(r *Review) estimate.Value[float64] {
			return degrees(r.overCycles("skew", r.Motion.Strokes, skewOf))
		}},
	{"length", "Stroke length", "unit", "stroke", Neither, Ratio, SameView,
		func(r *Review) estimate.Value[float64] {
			return r.median("stroke length", lengthOf)
		}},
	{"length_scatter", "Stroke length: scatter from stroke to stroke, noise removed", "unit", "stroke", Less, Ratio, SameView,
		(*Review).lengthScatter},
	{"duration_scatter", "Stroke duration: scatter from stroke to stroke, noise removed", "s", "stroke", Less, Ratio, AnyView,
		inTime("stroke duration scatter", (*Review).durationScatter)},
	{"curvature", "Curvature, positive when the middle bulges out", "1/unit", "stroke", Neither, Difference, SameSetup,
		func(r *Review) estimate.Value[float64] {
			return r.median("curvature", func(s motion.Stroke) float64 { return s.Curvature })
		}},
	{"rise", "How much further out a downstroke ends than it begins", "unit", "stroke", Neither, Difference, SameSetup,
		func(r *Review) estimate.Value[float64] { return r.Clearing.Rise }},
	{"height_after_down", "Height of the turn after a downstroke", "unit", "turn", Neither, Difference, SameSetup,
		func(r *Review) estimate.Value[float64] { return r.Clearing.AfterDown }},
	{"height_after_up", "Height of the turn after an upstroke", "unit", "turn", Neither, Difference, SameSetup,
		func(r *Review) estimate.Value[float64] { return r.Clearing.AfterUp }},
	{"turn_scatter_down", "Scatter of the turns after downstrokes, across the strings", "unit", "turn", Less, Ratio, SameView,
		func(r *Review) estimate.Value[float64] { return r.Motion.TurnScatter(motion.Down) }},
	{"turn_scatter_up", "Scatter of the turns after upstrokes, across the strings", "unit", "turn", Less, Ratio, SameView,
		func(r *Review) estimate.Value[float64] { return r.Motion.TurnScatter(motion.Up) }},
	{"peak_speed", "Peak speed of a stroke", "unit/s", "stroke", Neither, Ratio, SameView,
		inTime("peak speed", func(r *Review) estimate.Value[float64] {
			return r.median("peak speed", func(s motion.Stroke) float64 { return s.PeakSpeed })
		})},

	{"carry", "Carry: travel of the hand in step with the tip, as a share of the tip's", "", "stroke", Neither, Share, SameSetup,
		(*Review).carry},
	{"drive_shoulder", "Drive: share of the tip's travel from the shoulder and the body", "", "stroke", Neither, Share, SameView, share(drive.AtShoulder)},
	{"drive_elbow", "Drive: share from the elbow", "", "stroke", Neither, Share, SameView, share(drive.AtElbow)},
	{"drive_forearm", "Drive: share from the rotation of the forearm", "", "stroke", Neither, Share, SameView, share(drive.AtForearm)},
	{"drive_wrist", "Drive: share from the wrist", "", "stroke", Neither, Share, SameView, share(drive.AtWrist)},
	{"drive_fingers", "Drive: share from fingers and grip", "", "stroke", Neither, Share, SameView, share(drive.AtFingers)},
	{"same_leading_joint", "Strokes that the same joint leads, as a share", "", "stroke", Neither, Share, SameView, (*Review).leading},
	{"forearm_roll_deg", "Roll of the forearm to the string plane", "degrees", "part", Neither, Axis, SameSetup,
		posture("roll of the forearm", func(p drive.Posture) estimate.Value[circular.Angle] { return p.Roll })},
	{"forearm_pitch_deg", "Pitch of the forearm to the string plane", "degrees", "part", Neither, Axis, SameSetup,
		posture("pitch of the forearm", func(p drive.Posture) estimate.Value[circular.Angle] { return p.Pitch })},

	{"unevenness", "Unevenness: how far single cycles lie off the mean cycle, noise removed", "unit", "cycle", Less, Ratio, SameView,
		ofCycle("unevenness", func(c *cycle.Cycle) estimate.Value[float64] { return c.Evenness })},
	{"unevenness_share", "Unevenness as a share of the stroke length", "", "cycle", Less, Ratio, SameView,
		ofCycle("unevenness", func(c *cycle.Cycle) estimate.Value[float64] { return c.EvennessShare })},
	{"down_share", "Share of the downstroke in the cycle's time", "", "cycle", Neither, Share, AnyView,
		inTime("share of the downstroke", ofCycle("share of the downstroke", func(c *cycle.Cycle) estimate.Value[float64] { return c.DownShare }))},
	{"loop_width", "Mean distance between the way down and the way up", "unit", "cycle", Neither, Ratio, SameView,
		ofCycle("loop width", func(c *cycle.Cycle) estimate.Value[float64] { return c.LoopWidth })},
	{"spectral_arc_length", "Smoothness: spectral arc length, nearer zero is smoother", "", "part", Neither, Difference, SameView,
		inTime("spectral arc length", ofSmoothness("spectral arc length", func(s *cycle.Smoothness) estimate.Value[float64] { return s.SpectralArc }))},
	{"log_dimensionless_jerk", "Smoothness: log dimensionless jerk, nearer zero is smoother", "", "part", Neither, Difference, SameView,
		inTime("log dimensionless jerk", ofSmoothness("log dimensionless jerk", func(s *cycle.Smoothness) estimate.Value[float64] { return s.LogJerk }))},
	{"reference_first_s", "First time within the margins of the reference", "s", "part", Neither, Difference, AnyView,
		inTime("first time within the reference", ofFollowing("first time within the reference", func(c *cycle.Following) estimate.Value[float64] { return c.First }))},
	{"reference_first_notes_per_second", "Strokes per second then", "1/s", "part", Neither, Ratio, AnyView,
		inTime("rate when first within the reference", ofFollowing("rate when first within the reference", func(c *cycle.Following) estimate.Value[float64] { return c.FirstRate }))},

	{"missed_share", "Strokes that reach no string, as a share", "", "stroke", Less, Share, AnyView,
		ofContacts("share of strokes that miss", (*contact.Contacts).Missed)},
	{"silent_share", "Strokes that do not sound, as a share", "", "stroke", Less, Share, AnyView,
		ofSound("share of strokes that do not sound", (*contact.Match).Silent)},
	{"follow_through_down", "Travel past the string before the turn, downstrokes", "unit", "stroke", Neither, Difference, SameSetup,
		ofContacts("follow-through of downstrokes", func(c *contact.Contacts) estimate.Value[float64] { return c.FollowThrough(motion.Down) })},
	{"follow_through_up", "Travel past the string before the turn, upstrokes", "unit", "stroke", Neither, Difference, SameSetup,
		ofContacts("follow-through of upstrokes", func(c *contact.Contacts) estimate.Value[float64] { return c.FollowThrough(motion.Up) })},
	{"follow_through_scatter_down", "Scatter of the travel past the string, downstrokes", "unit", "stroke", Less, Ratio, SameView,
		ofContacts("scatter of the follow-through of downstrokes", func(c *contact.Contacts) estimate.Value[float64] { return c.FollowThroughSpread(motion.Down) })},
	{"follow_through_scatter_up", "Scatter of the travel past the string, upstrokes", "unit", "stroke", Less, Ratio, SameView,
		ofContacts("scatter of the follow-through of upstrokes", func(c *contact.Contacts) estimate.Value[float64] { return c.FollowThroughSpread(motion.Up) })},
	{"depth_down", "Depth of the tip below the string's top, downstrokes", "unit", "stroke", Neither, Difference, SameSetup,
		ofContacts("depth of downstrokes", func(c *contact.Contacts) estimate.Value[float64] { return c.Depth(motion.Down) })},
	{"depth_up", "Depth of the tip below the string's top, upstrokes", "unit", "stroke", Neither, Difference, SameSetup,
		ofContacts("depth of upstrokes", func(c *contact.Contacts) estimate.Value[float64] { return c.Depth(motion.Up) })},
	{"slowing_down", "Slowing at the string, downstrokes, as a share of the speed", "", "stroke", Neither, Share, SameSetup,
		ofContacts("slowing at the string, downstrokes", func(c *contact.Contacts) estimate.Value[float64] { return c.Slowing(motion.Down) })},
	{"slowing_up", "Slowing at the string, upstrokes, as a share of the speed", "", "stroke", Neither, Share, SameSetup,
		ofContacts("slowing at the string, upstrokes", func(c *contact.Contacts) estimate.Value[float64] { return c.Slowing(motion.Up) })},
	{"attack_spread_db", "Evenness of the attack: spread of the notes' levels", "dB", "stroke", Less, Difference, SameSetup,
		ofSound("spread of the level", func(m *contact.Match) estimate.Value[float64] { return m.Levels().Spread })},
	{"attack_down_over_up_db", "Level of downstrokes over upstrokes", "dB", "stroke", Neither, Difference, SameSetup,
		ofSound("level of downstrokes over upstrokes", func(m *contact.Match) estimate.Value[float64] { return m.Levels().Difference })},
	{"edge_angle_down_deg", "Edge angle of the pick at the string, downstrokes", "degrees", "stroke", Neither, Axis, SameSetup,
		ofEdges(contact.EdgeRotation, "edge angle", func(e *contact.Edges) estimate.Value[circular.Angle] { return e.Median(motion.Down) })},
	{"edge_angle_up_deg", "Edge angle of the pick at the string, upstrokes", "degrees", "stroke", Neither, Axis, SameSetup,
		ofEdges(contact.EdgeRotation, "edge angle", func(e *contact.Edges) estimate.Value[circular.Angle] { return e.Median(motion.Up) })},
	{"edge_angle_scatter_down_deg", "Scatter of the edge angle, downstrokes", "degrees", "stroke", Less, Ratio, SameSetup,
		ofEdges(contact.EdgeRotation, "edge angle", func(e *contact.Edges) estimate.Value[circular.Angle] { return e.Spread(motion.Down) })},
	{"edge_angle_scatter_up_deg", "Scatter of the edge angle, upstrokes", "degrees", "stroke", Less, Ratio, SameSetup,
		ofEdges(contact.EdgeRotation, "edge angle", func(e *contact.Edges) estimate.Value[circular.Angle] { return e.Spread(motion.Up) })},
	{"pick_lean_down_deg", "Lean of the pick at the string, downstrokes", "degrees", "stroke", Neither, Axis, SameSetup,
		ofEdges(contact.EdgeLean, "lean of the pick", func(e *contact.Edges) estimate.Value[circular.Angle] { return e.Median(motion.Down) })},
	{"pick_lean_up_deg", "Lean of the pick at the string, upstrokes", "degrees", "stroke", Neither, Axis, SameSetup,
		ofEdges(contact.EdgeLean, "lean of the pick", func(e *contact.Edges) estimate.Value[circular.Angle] { return e.Median(motion.Up) })},

	{"duration_scatter_share", "Stroke duration: scatter as a share of the duration", "", "stroke", Less, Ratio, AnyView,
		inTime("stroke duration scatter as a share", func(r *Review) estimate.Value[float64] {
			return r.relative(r.durationScatter(), motion.Stroke.Duration)
		})},
	{"length_scatter_share", "Stroke length: scatter as a share of the length", "", "stroke", Less, Ratio, SameView,
		func(r *Review) estimate.Value[float64] { return r.relative(r.lengthScatter(), lengthOf) }},

	{"rate_drift_percent_per_minute", "Drift of the rate: faster (+) or slower (-) as the take goes on", "% a minute", "stroke", Neither, Difference, AnyView,
		ofPace("drift of the rate", func(p *Pace) estimate.Value[float64] { return p.Drift.PerMinute })},
	{"down_over_up", "Duration of a downstroke over that of an upstroke", "", "stroke", Neither, Ratio, AnyView,
		ofPace("duration of down- over upstrokes", func(p *Pace) estimate.Value[float64] { return p.Swing.Ratio })},
	{"grid_drift_percent", "Drift from the metronome: faster (+) or slower (-)", "%", "cycle", Neither, Difference, AnyView,
		ofPace("drift from the metronome", func(p *Pace) estimate.Value[float64] { return p.Grid.Drift })},
	{"grid_spread_s", "Scatter of the notes about an even grid", "s", "stroke", Less, Ratio, AnyView,
		ofPace("scatter about an even grid", func(p *Pace) estimate.Value[float64] { return p.Grid.Spread })},
	{"grid_offset_s", "Late (+) or early (-) against the metronome", "s", "stroke", Neither, Difference, AnyView,
		ofPace("offset to the metronome", func(p *Pace) estimate.Value[float64] { return p.Grid.Offset })},

	{"settled_share_first_third", "Settled share of the first third of the take", "", "stroke", More, Share, AnyView,
		ofHistory("settled share of the first third", func(h *settling.History) estimate.Value[float64] { return h.Thirds[0].Share })},
	{"settled_share_last_third", "Settled share of the last third of the take", "", "stroke", More, Share, AnyView,
		ofHistory("settled share of the last third", func(h *settling.History) estimate.Value[float64] { return h.Thirds[2].Share })},
	{"hold_s", "Length of a settled span, median", "s", "span", More, Ratio, AnyView,
		ofHistory("length of settled spans", func(h *settling.History) estimate.Value[float64] { return h.HoldLength.Seconds })},
	{"search_s", "Length of a searching span, median", "s", "span", Less, Ratio, AnyView,
		ofHistory("length of searching spans", func(h *settling.History) estimate.Value[float64] { return h.SearchLength.Seconds })},
	{"leaves_per_minute", "How often a settled motion is left, a minute of playing", "1/min", "span", Less, Difference, AnyView,
		ofHistory("how often a settled motion is left", func(h *settling.History) estimate.Value[float64] {
			if len(h.Holds) == 0 {
				return estimate.Missing[float64]("none settled", "how often a settled motion is left", "no span of this take is settled")
			}
			return h.LeavesPerMinute
		})},
	{"strokes_to_settle", "Strokes from searching to settled, median", "strokes", "span", Neither, Difference, AnyView,
		ofHistory("strokes from searching to settled", func(h *settling.History) estimate.Value[float64] { return h.OnsetMedian.Strokes })},
	{"searching_memory", "Searching: likeness of a stroke to the one a cycle before, 0 drawn afresh", "", "stroke", Neither, Difference, AnyView,
		inTime("likeness of searching strokes", func(r *Review) estimate.Value[float64] {
			if a := r.Exploring.Absent; a != nil {
				return estimate.Missing[float64](a.Code, "likeness of searching strokes", a.Why)
			}
			return r.Exploring.Memory
		})},

	{"joint_scatter", "Scatter of angle, timing, length and height together, in tolerances", "tolerances", "stroke", Less, Ratio, SameView,
		ofJoint("scatter of all quantities together", func(j *variability.Joint) estimate.Value[float64] { return j.Total })},
	{"joint_dimensions", "Number of ways in which the strokes scatter", "", "stroke", Neither, Difference, SameView,
		ofJoint("number of ways in which the strokes scatter", func(j *variability.Joint) estimate.Value[float64] { return j.Dimensions })},
	{"reference_share", "Share of the playing time in spans that are within the margins of the reference", "", "span", More, Share, AnyView,
		inTime("share of the time within the reference", (*Review).onReference)},
	{"follow_through_share_down", "Travel past the string before the turn, downstrokes, as a share of the distance to the next", "", "stroke", Neither, Share, SameSetup,
		inSpacings(motion.Down)},
	{"follow_through_share_up", "Travel past the string before the turn, upstrokes, as a share of the distance to the next", "", "stroke", Neither, Share, SameSetup,
		inSpacings(motion.Up)},
	{"moving_share", "Share of the playing time in which strokes are alike from one to the next and change slowly", "", "stroke", Neither, Share, AnyView,
		inTime("share of the time that changes slowly", (*Review).moving)},
}
