package charts

import (
	"image"
	"image/color"
	"math"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// canvas lets the plotting library draw on a Surface.
type canvas struct {
	surface Surface
	now     pen
	saved   []pen
}

type pen struct {
	width  vg.Length
	dashes []vg.Length
	colour color.RGBA
}

func newCanvas(s Surface) *canvas {
	c := &canvas{surface: s}
	vg.Initialize(c)
	return c
}

func (c *canvas) SetLineWidth(w vg.Length)                    { c.now.width = w }
func (c *canvas) SetLineDash(dashes []vg.Length, _ vg.Length) { c.now.dashes = dashes }

func (c *canvas) SetColor(colour color.Color) {
	if colour == nil {
		colour = color.Black
	}
	n := color.NRGBAModel.Convert(colour).(color.NRGBA)
	c.now.colour = color.RGBA{n.R, n.G, n.B, 255}
}

func (c *canvas) Rotate(radians float64) {
	sin, cos := math.Sincos(radians)
	c.surface.Transform(cos, sin, -sin, cos, 0, 0)
}

func (c *canvas) Translate(by vg.Point) {
	c.surface.Transform(1, 0, 0, 1, float64(by.X), float64(by.Y))
}

func (c *canvas) Scale(x, y float64) { c.surface.Transform(x, 0, 0, y, 0, 0) }

func (c *canvas) Push() {
	c.saved = append(c.saved, c.now)
	c.surface.Save()
}

func (c *canvas) Pop() {
	c.now = c.saved[len(c.saved)-1]
	c.saved = c.saved[:len(c.saved)-1]
	c.surface.Restore()
}

func (c *canvas) Stroke(path vg.Path) {
	if c.now.width <= 0 {
		return
	}
	line := Line{Width: float64(c.now.width), Colour: c.now.colour}
	for _, d := range c.now.dashes {
		line.Dashes = append(line.Dashes, float64(d))
	}
	c.surface.Stroke(segments(path), line)
}

func (c *canvas) Fill(path vg.Path) { c.surface.Fill(segments(path), c.now.colour) }

func (c *canvas) FillString(f font.Face, at vg.Point, text string) {
	c.surface.Text(float64(at.X), float64(at.Y), Font{Size: float64(f.Font.Size)}, c.now.colour, text)
}

// DrawImage draws nothing: no figure holds a raster image.
func (c *canvas) DrawImage(vg.Rectangle, image.Image) {}

// segments turns a path of the library into ours: quadratic curves become cubic
// ones, arcs a cubic curve for each quarter.
func segments(path vg.Path) []Segment {
	out := make([]Segment, 0, len(path))
	var at Point
	for _, comp := range path {
		to := Point{float64(comp.Pos.X), float64(comp.Pos.Y)}
		switch comp.Type {
		case vg.MoveComp:
			out = append(out, moveTo(to))
		case vg.LineComp:
			out = append(out, lineTo(to))
		case vg.CurveComp:
			out = append(out, curveTo(at, comp.Control, to))
		case vg.ArcComp:
			arc := arcSegments(to, float64(comp.Radius), comp.Start, comp.Angle, len(out) == 0)
			out = append(out, arc...)
			sin, cos := math.Sincos(comp.Start + comp.Angle)
			to = Point{to.X + float64(comp.Radius)*cos, to.Y + float64(comp.Radius)*sin}
		case vg.CloseComp:
			out = append(out, Segment{Kind: Close})
			continue
		}
		at = to
	}
	return out
}

func moveTo(p Point) Segment { return Segment{MoveTo, [3]Point{p}} }
func lineTo(p Point) Segment { return Segment{LineTo, [3]Point{p}} }

func curveTo(from Point, controls []vg.Point, to Point) Segment {
	first := Point{float64(controls[0].X), float64(controls[0].Y)}
	if len(controls) > 1 {
		return Segment{CurveTo, [3]Point{first, {float64(controls[1].X), float64(controls[1].Y)}, to}}
	}
	third := func(end Point) Point { return Point{end.X + 2*(first.X-end.X)/3, end.Y + 2*(first.Y-end.Y)/3} }
	return Segment{CurveTo, [3]Point{third(from), third(to), to}}
}

// arcSegments draws an arc around the centre from the angle start over the angle
// sweep; it begins a part of its own where first is set, else joins the path.
func arcSegments(centre Point, radius, start, sweep float64, first bool) []Segment {
	on := func(angle float64) (Point, Point) {
		sin, cos := math.Sincos(angle)
		return Point{centre.X + radius*cos, centre.Y + radius*sin}, Point{-radius * sin, radius * cos}
	}
	quarters := max(1, int(math.Ceil(math.Abs(sweep)/(math.Pi/2)-1e-9)))
	step := sweep / float64(quarters)
	reach := 4.0 / 3 * math.Tan(step/4) // length of the controls as a part of the tangent
	at, tangent := on(start)
	out := []Segment{lineTo(at)}
	if first {
		out[0] = moveTo(at)
	}
	for k := 1; k <= quarters; k++ {
		end, endTangent := on(start + float64(k)*step)
		out = append(out, Segment{CurveTo, [3]Point{
			{at.X + reach*tangent.X, at.Y + reach*tangent.Y},
			{end.X - reach*endTangent.X, end.Y - reach*endTangent.Y},
			end,
		}})
		at, tangent = end, endTangent
	}
	return out
}

// rectangle is the path around a rectangle.
func rectangle(x, y, width, height float64) []Segment {
	return []Segment{
		moveTo(Point{x, y}), lineTo(Point{x + width, y}),
		lineTo(Point{x + width, y + height}), lineTo(Point{x, y + height}), {Kind: Close},
	}
}

// straight is the path of a straight line.
func straight(x1, y1, x2, y2 float64) []Segment {
	return []Segment{moveTo(Point{x1, y1}), lineTo(Point{x2, y2})}
}
