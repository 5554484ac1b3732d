package soak

import "time"

// simpler are ways to make a setting plainer.
var simpler = []func(*setting){
	func(s *setting) { s.ByHand = 0 },
	func(s *setting) { s.Millis = min(s.Millis, 100) },
	func(s *setting) { s.Joins = false },
	func(s *setting) { s.Notches = 0 },
	func(s *setting) { s.Notches /= 2 },
	func(s *setting) { s.Darts = 0 },
	func(s *setting) { s.Darts = min(s.Darts, 1) },
	func(s *setting) { s.FishEyes = 0 },
	func(s *setting) { s.FishEyes = min(s.FishEyes, 1) },
	func(s *setting) { s.Keeps = 0 },
	func(s *setting) { s.Levels = 0 },
	func(s *setting) { s.Allowances = false },
	func(s *setting) { s.Turned = false },
	func(s *setting) { s.Fabrics = false },
	func(s *setting) { s.Rectangles = 0 },
	func(s *setting) { s.Rectangles /= 2 },
	func(s *setting) { s.Rectangles = max(0, s.Rectangles-1) },
	func(s *setting) { s.Ragged = false },
	func(s *setting) { s.Holes = 0 },
	func(s *setting) { s.Nap = false },
	func(s *setting) { s.Faces = false },
	func(s *setting) { s.Counts = false },
	func(s *setting) { s.Rows = false },
	func(s *setting) { s.Puzzle.Decoys = 0 },
	func(s *setting) { s.Puzzle.Share = 0 },
	func(s *setting) { s.Puzzle.TurnDeg = 0 },
	func(s *setting) { s.Puzzle.Seams = max(0, s.Puzzle.Seams-1) },
	func(s *setting) { s.Kinds = "" },
	func(s *setting) { s.Keep = 1 },
	func(s *setting) { s.Workers = 1 },
	func(s *setting) { s.GapMM = 0 },
	func(s *setting) { s.AllowanceMM = 10 },
	func(s *setting) { s.DartReachMM = 0 },
	func(s *setting) { s.ToleranceDeg = 0 },
	func(s *setting) { s.ToleranceDeg = min(s.ToleranceDeg, 2) },
}

// shrunk is the plainest setting that fails by the same rule, as far as it is
// found before end.
func shrunk(s setting, rule string, end time.Time) (setting, wrong) {
	fails := func(s setting) *wrong {
		if w := s.run().wrong; w != nil && w.Rule == rule {
			return w
		}
		return nil
	}
	found := wrong{rule, "it failed once, and then no more: the time it took decides", nil}
	if w := fails(s); w != nil {
		found = *w
	}
	for better := true; better && time.Now().Before(end); {
		better = false
		for _, plainer := range simpler {
			next := s
			if plainer(&next); next == s || time.Now().After(end) {
				continue
			}
			if w := fails(next); w != nil {
				s, found, better = next, *w, true
			}
		}
	}
	return s, found
}
