package quantity

import "time"

// Instant is a moment in nanoseconds since 1970-01-01 00:00 UTC. It is what the
// columns of a log hold: half the size of a time.Time and exact.
type Instant int64

// InstantOf converts a time.
func InstantOf(t time.Time) Instant { return Instant(t.UnixNano()) }

// In returns the instant as a time in the zone.
func (i Instant) In(zone *time.Location) time.Time { return time.Unix(0, int64(i)).In(zone) }

// UTC returns the instant as a time in UTC.
func (i Instant) UTC() time.Time { return i.In(time.UTC) }

// Sub returns the time from earlier to i.
func (i Instant) Sub(earlier Instant) time.Duration { return time.Duration(i - earlier) }

// Add returns the instant d later.
func (i Instant) Add(d time.Duration) Instant { return i + Instant(d) }
