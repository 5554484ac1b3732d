// Package lining makes the pattern of a lining from that of a garment.
//
// A lining hangs inside the garment and must never pull at it, so it is cut a
// little larger. It is made of the garment's own pieces in six steps, each a
// file:
//
//   - choose.go leaves out what is not lined: facings, bands, cuffs, collars
//     and the like.
//   - facing.go takes off what a facing covers: the facing is laid on its piece
//     along the edge that the two share, and the lining starts at the facing's
//     inner seam line. (So handbooks of dressmaking do; from memory. No page is
//     given, for none was at hand.) Where there is no cloth for a facing the
//     lining goes to the garment's edge.
//   - block.go goes back to half of a piece that is cut on the fold, so that
//     both halves come out alike.
//   - grow.go moves the corners: out by the ease, up at the underarm, up at the
//     hem. Lines between corners go along, curves staying curves.
//   - equal.go makes the two sides of each seam equally long again, by the
//     least that the corners and the bend of the curves must give.
//   - pleat.go adds the pleat at the centre back.
//
// What the lining is sewn to stays as it is: the lines where a band, a cuff, a
// collar or a facing is, the neck, an opening. So does the fold.
//
// How much, and who says so:
//
//   - Ease: DefaultEaseMM at each lengthwise seam, the side seams and those of
//     the sleeve. Where more edges go round than the four of a body or the two of
//     a sleeve, they share what those would get (share.go). Common practice, no
//     source.
//   - Armhole: raised DefaultArmholeUpMM at the underarm, on body and sleeve,
//     for there the lining goes round the seam allowances of the armhole, which
//     stand up and are as wide. Common practice, no source.
//   - Hem: DefaultHemUpMM shorter, so that a lining that hangs free does not
//     show below the garment. Common practice, no source.
//   - Pleat: DefaultPleatMM added at the fold of the centre back, twice that on
//     the whole back, which the arms need to reach forward. From memory: the
//     handbooks say 2 to 2.5 cm.
//   - Ease of a sleeve cap is taken out: a lining is too thin to be shrunk in,
//     and its cap is sewn in flat. Common practice, no source. Gathers, which
//     are more than can be eased in (allowance.Walked), stay.
//   - Darts are kept. They are usually pressed as pleats and not sewn, which
//     gives ease too. Common practice, no source.
package lining
