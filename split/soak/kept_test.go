package soak

import "eke/split/search/puzzle"

// kept are settings that failed once, each as plain as it could be made.
var kept = []struct {
	name    string
	setting setting
}{
	{"a part that is nowhere wide", setting{
		Seed: 1001, Garment: "raglan-child.svg", Turned: true, Keep: 1, MaxSeams: 4, AllowanceMM: 10, Workers: 1, Millis: 100, ByHand: 4,
	}},
	{"a sleeve cap with two allowances", setting{
		Seed: 4, Garment: "tshirt.svg", Allowances: true, Keep: 1, MaxSeams: 1, AllowanceMM: 10, Workers: 1, Millis: 100,
	}},
	{"a sleeve cap cut near its top, without an allowance", setting{
		Seed: 1, Garment: "t-shirt", Puzzle: puzzle.Rules{SlackMM: 5, GapMM: 8}, Keep: 1, MaxSeams: 1, ToleranceDeg: 2, Workers: 1, Millis: 100, ByHand: 4,
	}},
	{"a stub of a neck", setting{
		Seed: 29, Garment: "t-shirt", Puzzle: puzzle.Rules{SlackMM: 40, GapMM: 1}, Joins: true, Allowances: true, Keep: 1, MaxSeams: 2, AllowanceMM: 10, ToleranceDeg: 2, Workers: 1, Millis: 100, ByHand: 4,
	}},
	{"a dart that a seam crosses, its mouth beside one that is taken in", setting{
		Seed: 13000064, Garment: "t-shirt", Puzzle: puzzle.Rules{SlackMM: 105}, Darts: 3, Keep: 1, MaxSeams: 2, AllowanceMM: 10, Workers: 1, DartReachMM: 15, Millis: 100, ByHand: 4,
	}},
	{"a dart that would be laid over a leg of another", setting{
		Seed: 15000053, Garment: "t-shirt", Puzzle: puzzle.Rules{Seams: 3, SlackMM: 140, Share: 0.6, Decoys: 1, GapMM: 1}, Notches: 5, Darts: 3, Keeps: 2, Allowances: true, Turned: true, Kinds: "panel,yoke", Keep: 1, MaxSeams: 4, AllowanceMM: 5, GapMM: 1, ToleranceDeg: 2, Workers: 1, DartReachMM: 40, Millis: 100, ByHand: 4,
	}},
	{"a dart that another seam crosses, near enough to be taken in", setting{
		Seed: 15000483, Garment: "tshirt.svg", Puzzle: puzzle.Rules{Seams: 1, SlackMM: 15, Share: 0.6, Decoys: 1, GapMM: 8, TurnDeg: 1}, Joins: true, Darts: 1, Keep: 1, MaxSeams: 4, AllowanceMM: 10, GapMM: 8, Workers: 1, DartReachMM: 40, Millis: 100, ByHand: 4,
	}},
	{"a leg through the place where two seams meet", setting{
		Seed: 15000301, Garment: "t-shirt", Puzzle: puzzle.Rules{Seams: 3, SlackMM: 120, Share: 0.3, Decoys: 1, GapMM: 1, TurnDeg: 2}, Darts: 2, Levels: 1, Faces: true, Keep: 1, MaxSeams: 4, AllowanceMM: 6.35, GapMM: 1, Workers: 1, DartReachMM: 15, Millis: 100, ByHand: 4,
	}},
	{"a leg that ends where the line across a closed dart is smoothed", setting{
		Seed: 15000357, Garment: "raglan", Puzzle: puzzle.Rules{Seams: 2, SlackMM: 125, Share: 0.6, Decoys: 3, GapMM: 1}, Joins: true, Darts: 3, FishEyes: 2, Keeps: 1, Turned: true, Keep: 1, MaxSeams: 6, AllowanceMM: 15, GapMM: 1, Workers: 1, DartReachMM: 40, Millis: 100, ByHand: 4,
	}},
	{"a dart with two points whose wide corners lie askew, across its middle", setting{
		Seed: 16000155, Garment: "raglan", Puzzle: puzzle.Rules{Seams: 3, SlackMM: 55, GapMM: 3}, FishEyes: 1, Keep: 1, MaxSeams: 5, AllowanceMM: 25, Workers: 1, Millis: 800,
	}},
	{"two bindings and no gap", setting{
		Seed: 64, Garment: "blouse.svg", Rectangles: 2, Keep: 1, MaxSeams: 2, AllowanceMM: 10, ToleranceDeg: 2, Workers: 1, Millis: 100,
	}},
	{"corners that differ in the last digit", setting{
		Seed: 59, Garment: "t-shirt", Puzzle: puzzle.Rules{SlackMM: 25, GapMM: 1}, Joins: true, Turned: true, Keep: 1, MaxSeams: 5, AllowanceMM: 10, ToleranceDeg: 2, Workers: 1, Millis: 100, ByHand: 4,
	}},
	{"a seam that ends near another's end", setting{
		Seed: 30, Garment: "blouse.svg", Keeps: 1, Keep: 1, MaxSeams: 4, AllowanceMM: 10, Workers: 1, Millis: 100, ByHand: 4,
	}},
	{"a moved shoulder cut on both sides", setting{
		Seed: 122, Garment: "tshirt.svg", Notches: 1, Keep: 1, MaxSeams: 3, AllowanceMM: 10, Workers: 1, Millis: 100, ByHand: 4,
	}},
	{"a hem that ends near a corner", setting{
		Seed: 8, Garment: "vest", Puzzle: puzzle.Rules{SlackMM: 25, GapMM: 3}, Joins: true, Keep: 1, MaxSeams: 3, AllowanceMM: 10, ToleranceDeg: 2, Workers: 1, Millis: 100, ByHand: 4,
	}},
	{"a notch at the corner that a moved shoulder cuts", setting{
		Seed: 114, Garment: "vest", Puzzle: puzzle.Rules{SlackMM: 15, GapMM: 3}, Joins: true, Notches: 5, Keep: 1, MaxSeams: 2, AllowanceMM: 10, Workers: 1, Millis: 100, ByHand: 4,
	}},
	{"an edge that ends in a side of a hundredth", setting{
		Seed: 20017, Garment: "raglan-child.svg", Puzzle: puzzle.Rules{SlackMM: 25, GapMM: 8}, Allowances: true, Keep: 1, MaxSeams: 5, AllowanceMM: 10, Workers: 1, Millis: 100, ByHand: 4,
	}},
	{"a level mark on an edge that a dart turned", setting{
		Seed: 5039, Garment: "blouse.svg", Puzzle: puzzle.Rules{SlackMM: 100, GapMM: 8}, Keeps: 1, Keep: 1, MaxSeams: 4, AllowanceMM: 10, Workers: 1, Millis: 100, DartReachMM: 15, ByHand: 2,
	}},
	{"a shoulder cut a hair beside its end", setting{
		Seed: 40062, Garment: "t-shirt", Puzzle: puzzle.Rules{SlackMM: 40, GapMM: 1}, Joins: true, Turned: true, Keep: 1, MaxSeams: 5, AllowanceMM: 6.35, Workers: 1, Millis: 100, ByHand: 2,
	}},
	{"a neck of half a centimetre that bends inward, with 3 cm of allowance", setting{
		Seed: 50040, Garment: "vest", Puzzle: puzzle.Rules{SlackMM: 35, GapMM: 3}, Joins: true, Allowances: true, Keep: 1, MaxSeams: 4, AllowanceMM: 10, Workers: 1, Millis: 100, ByHand: 2,
	}},
	{"a hem with a corner that points inward", setting{
		Seed: 70656, Garment: "t-shirt", Puzzle: puzzle.Rules{SlackMM: 15, GapMM: 8}, Joins: true, Darts: 1, Turned: true, Keep: 1, MaxSeams: 4, Workers: 1, DartReachMM: 40, Millis: 100, ByHand: 4,
	}},
	{"two seams that end at one place of a raglan", setting{
		Seed: 70717, Garment: "raglan", Puzzle: puzzle.Rules{SlackMM: 30, GapMM: 8}, Joins: true, Levels: 3, Turned: true, Keep: 1, MaxSeams: 2, AllowanceMM: 10, Workers: 1, Millis: 100, ByHand: 4,
	}},
	{"another, of a shoulder", setting{
		Seed: 30076, Garment: "tshirt.svg", Puzzle: puzzle.Rules{SlackMM: 80, GapMM: 3}, Allowances: true, Turned: true, Keep: 1, MaxSeams: 4, AllowanceMM: 10, Workers: 1, Millis: 100, ByHand: 4,
	}},
	{"a hair of a side seam at a hem without an allowance", setting{
		Seed: 20017, Garment: "raglan-child.svg", Puzzle: puzzle.Rules{SlackMM: 50, GapMM: 8}, Allowances: true, Turned: true, Keep: 1, MaxSeams: 5, AllowanceMM: 10, Workers: 1, Millis: 100, ByHand: 2,
	}},
	{"a stretch between two seams with its notch at its middle", setting{
		Seed: 120291, Garment: "blouse.svg", Puzzle: puzzle.Rules{SlackMM: 15, GapMM: 3}, Levels: 3, Keep: 1, MaxSeams: 3, AllowanceMM: 10, Workers: 1, Millis: 100, ByHand: 4,
	}},
	{"a side seam of a corner", setting{
		Seed: 200208, Garment: "blouse.svg", Puzzle: puzzle.Rules{SlackMM: 100, GapMM: 3}, Allowances: true, Keep: 1, MaxSeams: 4, AllowanceMM: 10, Workers: 1, Millis: 100, ByHand: 4,
	}},
	{"a dart's mouth shaped within an allowance that is wider still", setting{
		Seed: 220376, Garment: "raglan", Puzzle: puzzle.Rules{SlackMM: 60}, Darts: 1, Allowances: true, Keep: 1, MaxSeams: 1, Workers: 1, Millis: 100, ByHand: 4,
	}},
	{"a dart as long as the seam that runs down it", setting{
		Seed: 260280, Garment: "t-shirt", Puzzle: puzzle.Rules{SlackMM: 135}, Darts: 1, Keep: 1, MaxSeams: 4, AllowanceMM: 10, Workers: 1, DartReachMM: 40, Millis: 100, ByHand: 4,
	}},
	{"a dart taken in that leads the seam past another's apex", setting{
		Seed: 300295, Garment: "t-shirt", Puzzle: puzzle.Rules{SlackMM: 45, GapMM: 8}, Darts: 3, Keeps: 1, Keep: 1, MaxSeams: 4, AllowanceMM: 10, Workers: 1, DartReachMM: 40, Millis: 100, ByHand: 4,
	}},
	{"a hair that taking off the allowance left of a side", setting{
		Seed: 800142, Garment: "blouse.svg", Puzzle: puzzle.Rules{SlackMM: 25, GapMM: 8}, Allowances: true, Turned: true, Keep: 1, MaxSeams: 4, AllowanceMM: 10, Workers: 1, Millis: 100, ByHand: 4,
	}},
	{"a bit of a raglan between two seams that is shorter than marks may be off", setting{
		Seed: 910418, Garment: "raglan-child.svg", Puzzle: puzzle.Rules{SlackMM: 85, GapMM: 3}, Notches: 1, Keeps: 2, Turned: true, Keep: 1, MaxSeams: 2, AllowanceMM: 10, Workers: 1, Millis: 100, ByHand: 4,
	}},
	{"a dart taken in that leads the seam across a keep zone", setting{
		Seed: 8000221, Garment: "raglan-child.svg", Puzzle: puzzle.Rules{SlackMM: 30, GapMM: 3}, Notches: 2, Darts: 1, Keeps: 2, Keep: 1, MaxSeams: 4, AllowanceMM: 10, Workers: 1, DartReachMM: 40, Millis: 100, ByHand: 4,
	}},
	{"two seams that end on a third at one place", setting{
		Seed: 4000107, Garment: "raglan-child.svg", Puzzle: puzzle.Rules{SlackMM: 140}, Darts: 1, Keeps: 2, Turned: true, Keep: 1, MaxSeams: 4, AllowanceMM: 10, Workers: 1, Millis: 100, ByHand: 4,
	}},
}
