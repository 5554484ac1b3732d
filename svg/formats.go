package svg

// PatternHelp and ScrapsHelp tell a maker how a pattern is drawn and how scraps are
// listed, in lines of 80 columns: all words that are read.
const (
	PatternHelp = `A pattern is an SVG file from any drawing program, in millimetres or with a size
in physical units. Draw one group a piece and name it. What an element in the
group is comes from its class, id or label, by its first word:

  seam, cut   one closed outline: where it is sewn, or where it is cut (the
              allowance is then taken off)
  grain       a straight line: the grainline; for cloth with a nap, from its
              start to its end the way the pile runs
  notch       a short line or a point on the outline; two or three close
              together are a double or triple notch
  dart        an open path leg, apex, leg; or for a dart with two points a
              closed one apex, widest place, apex, widest place
  fold        a line along the outline: the piece is half, cut on the fold
  edge        a line along the outline, and a name for it: edge shoulder
  level       a line across the piece: a seam is welcome here
  keep        a closed outline or a line: no piecing seam may cross it

A bare outline is a piece too, cut once, its grain upright.

Facts are data- attributes, or "cut: 2" and the like, a line each, in the
element's <desc>. Of a piece:

  cut         how many: 2; with 0 it is cut already, as with ready: yes
  mirrored    yes: half of them are mirror images
  side        left or right: where what is drawn is worn
  fabric      what it may be cut from: navy or cream
  kind        knit or woven
  use         lining: it is of a lining, cut from cloth that is kept for one
  lining      no or yes: whether it gets a lining
  optional    yes: cut whole from what all others leave, if it fits
  ready       yes: it is cut already, and takes no cloth
  allowance   how wide its seam allowance is: 10mm, unless said

Of an edge:

  joins       what it is sewn to: back/shoulder; of two copies of one piece
              that are sewn to each other its own: back/centre-back, on the
              edge centre-back; where it goes round several, in the order in
              which they come, from left to right or from the fold outwards:
              back/armhole, front/armhole
  ease        by how much this edge and the one it joins may differ: 60mm or 50%
  allowance   another than its piece's

Wishes are lines such as "wish: sleeve alike" in the <desc> of the root: see
eke help wishes. For example a square of 300 mm, cut twice, on the fold:

  <svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm"
       viewBox="0 0 400 400">
    <g id="bag" data-cut="2" data-fabric="navy">
      <path class="seam" d="M 0,0 H 150 V 300 H 0 Z"/>
      <path class="fold" d="M 0,0 V 300"/>
      <path class="grain" d="M 50,50 V 250"/>
      <path class="edge side" data-joins="bag/side" d="M 150,0 V 300"/>
    </g>
  </svg>
`

	ScrapsHelp = `Scraps come from any of these, or from several at once.

A spreadsheet saved as CSV, a row for each scrap. The first row names the
columns, in any order; name, length and width are needed, the others not:

  name         different in every row
  length_cm    along the grain; or length_mm, length_in
  width_cm     across it; or width_mm, width_in
  fabric       what pieces ask for; its name, if empty
  count        how many are alike; 1, if empty
  kind         knit or woven
  nap          yes: a pile or print with one way up
  face         both: it has no wrong side; one, if empty
  look         what the eye takes it for; its fabric, if empty
  use          lining: it is kept for one
  shrink       by how much, when it is washed: 5%
  stripe_cm    of striped cloth: from one stripe to the next one like it; or
               stripe_mm, stripe_in
  first_cm     from its top down to the middle of the first stripe; or
               first_mm, first_in
  stripe_runs  across (the grain; so if empty) or along: then first_cm is from
               the left
  colour       for the pictures: a name or #rrggbb; color is read too
  note         your own words

For example:

  name,fabric,length_cm,width_cm,count,kind,nap
  jeans leg,denim,70,24.5,2,woven,no
  old jumper,navy rib,42,60,1,knit,yes

An SVG: one group a scrap, named, with the same facts as data- attributes or in
its <desc>, all but its size, which is drawn:

  outline      its outline, closed
  hole         a closed outline in it; one without a known name is taken for a
               hole, too, unless it is over half of the scrap, an arrow of its
               grainline, or one of more than 40 that are under 20 mm
  flaw         a closed outline that no part may have, such as a stain
  grain        a straight line

"eke trace" makes such a file from a photograph.

The command line, width across the grain by length along it, with a fabric if
you like:

  --scrap "navy rib: 42 x 60 cm"
  --scrap "sleeve end, navy rib: 42 x 60 cm"
`
)
