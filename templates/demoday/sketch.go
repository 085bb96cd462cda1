package demoday

import "image/color"

// The inks of the sketches.
var (
	paper    = color.RGBA{250, 249, 246, 255}
	ink      = color.RGBA{38, 44, 52, 255}
	pencil   = color.RGBA{128, 136, 146, 255}
	absorber = color.RGBA{206, 214, 222, 255}
	copper   = color.RGBA{224, 176, 138, 255}
	cabinet  = color.RGBA{236, 239, 242, 255}
	shade    = color.RGBA{216, 221, 227, 255}
	signal   = color.RGBA{0, 114, 178, 255}
	marker   = color.RGBA{213, 94, 0, 255}
)

// sideSketch draws the setup from the side: antenna, probe, and the article on
// the bench, with the distance and the height of the probe. The pictures have
// different widths, which some renderings need to tell them apart.
func sideSketch() []byte {
	c := newCanvas(1440, 860, paper)
	room(c, 40, 40, 1400, 760)
	const floor, bench, metre = 760.0, 540.0, 270.0
	c.line(ink, 4, point{40, floor}, point{1400, floor})

	// The bench with its ground plane, bonded to the wall.
	front := 700.0
	c.box(shade, pencil, 2, point{front + 12, bench + 12}, point{front + 32, floor})
	c.box(shade, pencil, 2, point{1220, bench + 12}, point{1240, floor})
	c.box(copper, ink, 2.5, point{front, bench}, point{1290, bench + 14})
	c.path(copper, 6, point{1290, bench + 7}, point{1397, bench + 7})

	// The article, its cables and the drum that it drives.
	c.box(cabinet, ink, 3, point{760, bench - 170}, point{960, bench - 4})
	c.box(shade, ink, 2, point{782, bench - 148}, point{866, bench - 92})
	c.disc(ink, point{914, bench - 120}, 13)
	c.disc(cabinet, point{914, bench - 120}, 8)
	c.path(ink, 5, point{960, bench - 40}, point{1010, bench - 40}, point{1030, bench - 12}, point{1180, bench - 12})
	c.disc(shade, point{1130, bench - 82}, 66)
	c.disc(ink, point{1130, bench - 82}, 60)
	c.disc(cabinet, point{1130, bench - 82}, 55)
	c.disc(ink, point{1130, bench - 82}, 12)

	// The field probe above the front edge of the bench.
	probe := point{front + 14, bench - 0.3*metre}
	c.line(pencil, 3, point{probe.x, bench}, probe)
	c.disc(signal, probe, 12)
	c.dimension(marker, point{front - 26, bench}, point{front - 26, probe.y})

	// The antenna on its mast, one metre before the front edge.
	antenna := point{front - metre, bench - 150}
	c.box(shade, pencil, 2, point{antenna.x - 70, floor - 16}, point{antenna.x + 30, floor})
	c.line(pencil, 9, point{antenna.x - 20, floor - 16}, point{antenna.x - 20, antenna.y})
	c.line(ink, 7, point{antenna.x - 44, antenna.y}, point{antenna.x, antenna.y})
	c.line(ink, 6, point{antenna.x, antenna.y - 205}, point{antenna.x, antenna.y - 14})
	c.line(ink, 6, point{antenna.x, antenna.y + 14}, point{antenna.x, antenna.y + 205})
	c.disc(ink, antenna, 13)
	c.path(pencil, 4, point{antenna.x - 44, antenna.y}, point{antenna.x - 120, antenna.y + 120}, point{antenna.x - 150, floor - 4},
		point{90, floor - 4})
	c.dimension(marker, point{antenna.x, 690}, point{front, 690})
	c.dashes(pencil, 1.5, 7, point{antenna.x, antenna.y + 205}, point{antenna.x, 700})
	return c.jpeg()
}

// topSketch draws the setup from above: the boundary of the setup, its cables
// along the front edge, probe and antenna.
func topSketch() []byte {
	c := newCanvas(1400, 860, paper)
	room(c, 40, 40, 1360, 820)
	const metre = 230.0
	front, left, right := 440.0, 330.0, 1070.0
	c.box(copper, ink, 2.5, point{left, 170}, point{right, front})

	// The article at the front, its cables two metres along the edge to the supply.
	c.box(cabinet, ink, 3, point{560, front - 190}, point{760, front - 24})
	c.disc(shade, point{880, front - 150}, 62)
	c.disc(cabinet, point{880, front - 150}, 48)
	c.path(ink, 5, point{760, front - 120}, point{832, front - 140})
	c.path(ink, 5, point{600, front - 24}, point{600, front - 12}, point{394, front - 12}, point{394, 224})
	c.path(pencil, 5, point{640, front - 24}, point{640, front - 18}, point{384, front - 18}, point{384, 224})
	c.box(cabinet, ink, 2.5, point{350, 182}, point{428, 226})

	// The boundary of the setup.
	boundary := []point{{370, 236}, {960, 236}, {960, front + 4}, {370, front + 4}}
	for i := range boundary {
		c.dashes(marker, 2.5, 10, boundary[i], boundary[(i+1)%len(boundary)])
	}
	c.dimension(marker, point{boundary[0].x, 130}, point{boundary[1].x, 130})

	// Probe and antenna opposite the middle of the boundary, one metre away.
	middle := (boundary[0].x + boundary[1].x) / 2
	c.disc(signal, point{middle + 130, front + 4}, 12)
	antenna := point{middle, front + 4 + metre}
	c.line(ink, 7, point{antenna.x - 260, antenna.y}, point{antenna.x - 14, antenna.y})
	c.line(ink, 7, point{antenna.x + 14, antenna.y}, point{antenna.x + 260, antenna.y})
	c.disc(ink, antenna, 14)
	c.path(pencil, 4, point{antenna.x, antenna.y + 14}, point{antenna.x, 780}, point{1357, 780})
	c.dimension(marker, point{antenna.x, front + 8}, point{antenna.x, antenna.y - 18})
	return c.jpeg()
}

// room draws the walls of the chamber with their absorbers.
func room(c *canvas, left, top, right, bottom float64) {
	const depth, pitch = 46.0, 30.0
	for x := left; x+pitch <= right; x += pitch {
		c.fill(absorber, point{x, top}, point{x + pitch, top}, point{x + pitch/2, top + depth})
	}
	for y := top + depth; y+pitch <= bottom-40; y += pitch {
		c.fill(absorber, point{left, y}, point{left, y + pitch}, point{left + depth, y + pitch/2})
		c.fill(absorber, point{right, y}, point{right, y + pitch}, point{right - depth, y + pitch/2})
	}
	c.path(ink, 4, point{left, bottom}, point{left, top}, point{right, top}, point{right, bottom})
}
