package layout

import "fmt"

// Settle lays a document out, each time from what the layout before found, until its
// pages stand still, and returns what it found. Where little would be left for the
// last page it feathers: it tries other distances between the rows of the tables behind
// Flow.Feather, and takes the first that fills the page, or the best.
func Settle(layOut func(earlier *Pagination) (*Pagination, error)) (*Pagination, error) {
	const enough = 0.4
	var best *Pagination
	for _, feather := range []Points{0, -1, 1, -1.6, 1.8} {
		found, err := stand(newPagination(feather), layOut)
		if err != nil {
			return nil, err
		}
		if best == nil || found.lastFill > best.lastFill {
			best = found
		}
		if best.lastFill >= enough {
			break
		}
	}
	return best, nil
}

// stand lays a document out until its pages stand still.
func stand(earlier *Pagination, layOut func(*Pagination) (*Pagination, error)) (*Pagination, error) {
	const attempts = 6
	for range attempts {
		found, err := layOut(earlier)
		if err != nil {
			return nil, err
		}
		if found.Equal(earlier) {
			return earlier, nil
		}
		earlier = found
	}
	return nil, fmt.Errorf("the pages do not stand still after %d layouts; this is a fault of the program", attempts)
}

// Equal reports whether two layouts put everything on the same pages.
func (p *Pagination) Equal(other *Pagination) bool {
	if p.pages != other.pages || len(p.page) != len(other.page) || len(p.contents) != len(other.contents) {
		return false
	}
	for name, page := range p.page {
		if other.page[name] != page {
			return false
		}
	}
	return true
}
