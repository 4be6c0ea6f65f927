package server

import (
	"context"
	"net/http"
	"time"

	"github.com/gin-gonic/gin"

	"ebbline/jobs"
)

// livez says that the process runs.
func (s *Server) livez(c *gin.Context) { c.String(http.StatusOK, "alive\n") }

// readyz says whether traffic may come: the database answers, and so does
// everything else that was given.
func (s *Server) readyz(c *gin.Context) {
	ctx, cancel := context.WithTimeout(c.Request.Context(), 2*time.Second)
	defer cancel()
	err := s.Desk.Ready(ctx)
	for _, ready := range s.Ready {
		if err == nil {
			err = ready()
		}
	}
	if err != nil {
		refuse(c, jobs.Wrap(jobs.CodeUnavailable, err, "Something that is needed does not answer"))
		return
	}
	c.String(http.StatusOK, "ready\n")
}
