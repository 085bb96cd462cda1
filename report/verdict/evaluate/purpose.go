package evaluate

import (
	"fmt"
	"strings"

	"fieldheld/ingest/quantity"
)

// PurposesOf counts rows by what they were made for: "2 search, 1 trial".
func PurposesOf(rows []*Visit) string {
	var counts []string
	for _, purpose := range quantity.Purposes() {
		n := 0
		for _, v := range rows {
			if v.Record.Purpose == quantity.Purpose(purpose) {
				n++
			}
		}
		if n > 0 {
			counts = append(counts, fmt.Sprintf("%d %s", n, purpose))
		}
	}
	return strings.Join(counts, ", ")
}
