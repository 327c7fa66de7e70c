package drive

// together says why joints are in one share.
func (a *analysis) together(j []Joint) string {
	if len(j) < 2 {
		return ""
	}
	c := &a.chain
	first, last := j[0], j[len(j)-1]
	switch {
	case c.planar && last == AtFingers:
		return "in one picture, what turns toward and away from the camera is not seen: use a source with three axes"
	case first == AtShoulder && !c.has[Elbow]:
		return "no landmark at the elbow"
	case first == AtShoulder && c.has[Shoulder] && c.has[Wrist] && last <= AtForearm:
		return "the arm is too straight at the elbow for its joints to be told apart"
	case !c.has[Wrist] && first <= AtElbow:
		return "no landmark at the wrist, nor on both of its sides"
	case first <= AtForearm && last == AtWrist:
		return "no second point of the forearm off the line from elbow to wrist"
	case last == AtFingers && first <= AtWrist:
		return "fewer than three points of the hand off one line, the wrist among them"
	}
	return "the landmarks do not tell them apart"
}

// notes says what the shares rest on; blind that nothing shows how far the
// landmarks slide, astray is the share of the tip's travel that the forearm's
// swing out of the plane of the arm makes.
func (a *analysis) notes(d *Drive, blind bool, astray float64) {
	c := &a.chain
	if c.has[Elbow] && !c.has[Shoulder] {
		d.Notes = append(d.Notes, "no shoulder: the share of the shoulder is that of the elbow's own travel, "+
			"and turning of the upper arm about its length counts as the elbow's")
	}
	if c.has[Wrist] && !c.has[Elbow] {
		d.Notes = append(d.Notes, "no elbow: the share of the arm is read from the wrist, "+
			"and its interval holds for an arm that turns about any point from far away to the elbow")
	}
	if astray > 0.1 && c.twist < 0.5 {
		d.Notes = append(d.Notes, "the upper arm is still but for turning about its length, which no landmark shows: "+
			"such turning counts as the elbow's")
	}
	if c.planar {
		d.Notes = append(d.Notes, "one picture: only travel in the picture counts")
	}
	if d.Options.LandmarkError == 0 {
		d.Notes = append(d.Notes, "landmarks that slide over the bones together, as skin does, show nowhere: "+
			"the intervals do not hold that (landmark_error_mm)")
	}
	if d.Options.LandmarkError == 0 && blind {
		d.Notes = append(d.Notes, "nothing shows how far the landmarks slide: a tenth of the tip's travel is assumed")
	}
}
