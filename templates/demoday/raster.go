package demoday

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"sort"
)

// canvas draws smooth shapes. It calculates in whole sixteenths of a pixel, so
// that every machine draws the same picture.
type canvas struct {
	picture *image.RGBA
}

const (
	finest = 16 // parts of a pixel that a coordinate is rounded to
	rows   = 4  // lines per pixel at which a shape is looked at
)

// point is a place on the canvas in pixels, from the upper left corner.
type point struct{ x, y float64 }

func newCanvas(width, height int, paper color.RGBA) *canvas {
	c := &canvas{picture: image.NewRGBA(image.Rect(0, 0, width, height))}
	c.fill(paper, point{0, 0}, point{float64(width), 0}, point{float64(width), float64(height)}, point{0, float64(height)})
	return c
}

// jpeg returns the picture as a JPEG file. Writing a picture of this size to
// memory cannot fail.
func (c *canvas) jpeg() []byte {
	var out bytes.Buffer
	if err := jpeg.Encode(&out, c.picture, &jpeg.Options{Quality: 92}); err != nil {
		panic("encode a picture in memory: " + err.Error())
	}
	return out.Bytes()
}

// fill paints a closed shape.
func (c *canvas) fill(ink color.RGBA, corners ...point) {
	xs, ys := make([]int, len(corners)), make([]int, len(corners))
	top, bottom := math.MaxInt, math.MinInt
	for i, p := range corners {
		xs[i], ys[i] = int(math.Round(p.x*finest)), int(math.Round(p.y*finest))
		top, bottom = min(top, ys[i]), max(bottom, ys[i])
	}
	bounds := c.picture.Bounds()
	covered := make([]int, bounds.Dx())
	for y := max(0, top/finest); y <= min(bounds.Dy()-1, bottom/finest); y++ {
		clear(covered)
		for part := range rows {
			level := y*finest + part*finest/rows + finest/rows/2
			cover(covered, crossings(xs, ys, level))
		}
		for x, amount := range covered {
			if amount > 0 {
				c.blend(x, y, ink, amount)
			}
		}
	}
}

// crossings returns where the outline crosses a level, ascending.
func crossings(xs, ys []int, level int) []int {
	var list []int
	for i := range xs {
		j := (i + 1) % len(xs)
		if (ys[i] <= level) != (ys[j] <= level) {
			list = append(list, xs[i]+(xs[j]-xs[i])*(level-ys[i])/(ys[j]-ys[i]))
		}
	}
	sort.Ints(list)
	return list
}

// cover adds the sixteenths of each pixel that lie between pairs of crossings.
func cover(covered []int, crossings []int) {
	for i := 0; i+1 < len(crossings); i += 2 {
		from, to := max(0, crossings[i]), min(len(covered)*finest, crossings[i+1])
		for x := from; x < to; {
			next := min(to, (x/finest+1)*finest)
			covered[x/finest] += next - x
			x = next
		}
	}
}

func (c *canvas) blend(x, y int, ink color.RGBA, amount int) {
	const whole = finest * rows
	below := c.picture.RGBAAt(x, y)
	mix := func(under, over uint8) uint8 {
		return uint8((int(under)*(whole-amount) + int(over)*amount + whole/2) / whole)
	}
	c.picture.SetRGBA(x, y, color.RGBA{mix(below.R, ink.R), mix(below.G, ink.G), mix(below.B, ink.B), 255})
}

// line draws a straight line of a width.
func (c *canvas) line(ink color.RGBA, width float64, a, b point) {
	length := math.Hypot(b.x-a.x, b.y-a.y)
	dx, dy := -(b.y-a.y)/length*width/2, (b.x-a.x)/length*width/2
	c.fill(ink, point{a.x + dx, a.y + dy}, point{b.x + dx, b.y + dy}, point{b.x - dx, b.y - dy}, point{a.x - dx, a.y - dy})
}

// path draws connected lines with round joints.
func (c *canvas) path(ink color.RGBA, width float64, points ...point) {
	for i := 1; i < len(points); i++ {
		c.line(ink, width, points[i-1], points[i])
		c.disc(ink, points[i], width/2)
	}
	c.disc(ink, points[0], width/2)
}

// dashes draws a broken line.
func (c *canvas) dashes(ink color.RGBA, width, dash float64, a, b point) {
	length := math.Hypot(b.x-a.x, b.y-a.y)
	at := func(along float64) point { return point{a.x + (b.x-a.x)*along/length, a.y + (b.y-a.y)*along/length} }
	for along := 0.0; along < length; along += 2 * dash {
		c.line(ink, width, at(along), at(math.Min(length, along+dash)))
	}
}

// disc fills a circle.
func (c *canvas) disc(ink color.RGBA, middle point, radius float64) {
	corners := make([]point, 72)
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(len(corners)))
		corners[i] = point{middle.x + radius*cos, middle.y + radius*sin}
	}
	c.fill(ink, corners...)
}

// box fills an upright rectangle and draws its outline.
func (c *canvas) box(face, edge color.RGBA, width float64, a, b point) {
	c.fill(face, a, point{b.x, a.y}, b, point{a.x, b.y})
	c.path(edge, width, a, point{b.x, a.y}, b, point{a.x, b.y}, a)
}

// dimension draws a line with an arrow head at each end and a short bar across.
func (c *canvas) dimension(ink color.RGBA, a, b point) {
	length := math.Hypot(b.x-a.x, b.y-a.y)
	ux, uy := (b.x-a.x)/length, (b.y-a.y)/length
	c.line(ink, 2, a, b)
	for _, end := range []struct {
		tip  point
		sign float64
	}{{a, 1}, {b, -1}} {
		back := point{end.tip.x + end.sign*ux*16, end.tip.y + end.sign*uy*16}
		c.fill(ink, end.tip, point{back.x - uy*5, back.y + ux*5}, point{back.x + uy*5, back.y - ux*5})
		c.line(ink, 2, point{end.tip.x - uy*12, end.tip.y + ux*12}, point{end.tip.x + uy*12, end.tip.y - ux*12})
	}
}
