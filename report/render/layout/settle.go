package layout

import "fmt"

// Settle lays a document out until its pages stand still, and returns what it found.
// Where little would be left for the last page it tries other distances between the
// rows of loose tables, and takes the first that fills the page, or the best.
func Settle(layOut func(earlier *Pagination) (*Pagination, error)) (*Pagination, error) {
	const enough = 0.4
	var best *Pagination
	for _, loose := range []float64{0, -1, 1, -1.6, 1.8} {
		found, err := stand(newRegister(loose), layOut)
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
func (r *Pagination) Equal(other *Pagination) bool {
	if r.pages != other.pages || len(r.page) != len(other.page) || len(r.contents) != len(other.contents) {
		return false
	}
	for name, page := range r.page {
		if other.page[name] != page {
			return false
		}
	}
	return true
}
