package store

import (
	"sync/atomic"

	"gorm.io/gorm"
)

// CountReads counts the statements that views run from now on.
func (s *Store) CountReads() *atomic.Int64 {
	var n atomic.Int64
	count := func(*gorm.DB) { n.Add(1) }
	c := s.read.Callback()
	for _, err := range []error{
		c.Query().Before("gorm:query").Register("count:query", count),
		c.Row().Before("gorm:row").Register("count:row", count),
		c.Raw().Before("gorm:raw").Register("count:raw", count),
	} {
		if err != nil {
			panic(err)
		}
	}
	return &n
}
