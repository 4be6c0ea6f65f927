package desk

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"image"
	"image/draw"
	"image/jpeg"
	"image/png"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// NewPhoto is a picture as it comes in.
type NewPhoto struct {
	JobID   string
	VisitID string // empty: of no one visit
	Caption string
	Content []byte
}

// maxPhotos bounds the pictures of one job.
const maxPhotos = 300

// developing bounds the pictures that are decoded at once: one of forty million
// pixels takes some 160 MB of memory.
var developing = make(chan struct{}, 1)

// AddPhoto keeps a picture of a job. What comes in as JPEG or PNG, told by its
// first bytes, is decoded, set upright and written anew as JPEG, so that
// nothing but the picture is kept. The same picture of a job is kept once: the
// outcome names the one that is there. A tech adds to jobs of the own crew's
// days. CodeInvalid, CodeTooLarge, CodeNotFound, CodeConflict.
func (d *Desk) AddPhoto(ctx context.Context, call Call, in NewPhoto) (Outcome, error) {
	var f jobs.Faults
	f.ID("job_id", in.JobID)
	f.Line("caption", in.Caption, 0, 300)
	if in.VisitID != "" {
		f.ID("visit_id", in.VisitID)
	}
	if err := f.Err(); err != nil {
		return Outcome{}, err
	}
	if err := d.mayAddPhoto(ctx, call.Actor, in); err != nil {
		return Outcome{}, err
	}
	content, size, err := develop(ctx, in.Content)
	if err != nil {
		return Outcome{}, err
	}
	sum := sha256.Sum256(content)
	p := jobs.Photo{ID: d.ids.New(), JobID: in.JobID, VisitID: in.VisitID, SHA256: hex.EncodeToString(sum[:]), MediaType: "image/jpeg",
		Bytes: int64(len(content)), Width: int64(size.X), Height: int64(size.Y), Caption: jobs.CleanLine(in.Caption), TakenAt: call.Now, MadeBy: call.Actor.Name}
	return d.act(ctx, call, "addPhoto", func(tx *store.Tx) (Outcome, error) {
		if err := tx.HoldJob(in.JobID); err != nil {
			return Outcome{}, err
		}
		j, err := tx.Job(in.JobID)
		if err != nil {
			return Outcome{}, err
		}
		p.BranchID, p.SiteID = j.BranchID, j.SiteID
		out := Outcome{Noun: "photo", NounID: p.ID, Version: 1, BranchID: j.BranchID}
		old, have, err := tx.FindPhoto(in.JobID, p.SHA256)
		if err != nil || have {
			out.NounID = old.ID
			return out, err
		}
		list, err := tx.Photos(in.JobID)
		if err != nil {
			return Outcome{}, err
		}
		if len(list) >= maxPhotos {
			return Outcome{}, jobs.Errorf(jobs.CodeConflict, "A job holds at most %d photos", maxPhotos)
		}
		return out, tx.InsertPhoto(p, content)
	})
}

// mayAddPhoto looks before the picture is worked on.
func (d *Desk) mayAddPhoto(ctx context.Context, who jobs.Actor, in NewPhoto) error {
	_, err := read(ctx, d, func(tx *store.Tx) (bool, error) {
		j, err := tx.Job(in.JobID)
		if err != nil {
			return false, err
		}
		if err := mayWorkOn(tx, who, j); err != nil {
			return false, err
		}
		for _, v := range j.Visits {
			if v.ID == in.VisitID {
				return true, nil
			}
		}
		if in.VisitID != "" {
			return false, jobs.Faults{{Field: "visit_id", Value: in.VisitID, Want: "a visit of this job"}}.Err()
		}
		return true, nil
	})
	return err
}

// develop decodes a picture and writes it anew.
func develop(ctx context.Context, content []byte) ([]byte, image.Point, error) {
	if len(content) > jobs.MaxPhotoBytes {
		return nil, image.Point{}, jobs.Errorf(jobs.CodeTooLarge, "A photo has at most %d MiB", jobs.MaxPhotoBytes>>20)
	}
	bad := func(why string) error {
		return jobs.Faults{{Field: "photo", Want: why}}.Err()
	}
	var header image.Config
	var decode func([]byte) (image.Image, error)
	var err error
	switch {
	case bytes.HasPrefix(content, []byte("\xff\xd8\xff")):
		header, err = jpeg.DecodeConfig(bytes.NewReader(content))
		decode = func(b []byte) (image.Image, error) { return jpeg.Decode(bytes.NewReader(b)) }
	case bytes.HasPrefix(content, []byte("\x89PNG\r\n\x1a\n")):
		header, err = png.DecodeConfig(bytes.NewReader(content))
		decode = func(b []byte) (image.Image, error) { return png.Decode(bytes.NewReader(b)) }
	default:
		return nil, image.Point{}, bad("a JPEG or PNG picture; this is neither, whatever its name says")
	}
	if err != nil {
		return nil, image.Point{}, bad("a whole picture; this one cannot be read")
	}
	if header.Width < 1 || header.Height < 1 || int64(header.Width)*int64(header.Height) > jobs.MaxPhotoPixels {
		return nil, image.Point{}, jobs.Errorf(jobs.CodeTooLarge, "A photo has at most %d million pixels", jobs.MaxPhotoPixels/1_000_000)
	}
	select {
	case developing <- struct{}{}:
		defer func() { <-developing }()
	case <-ctx.Done():
		return nil, image.Point{}, ctx.Err()
	}
	picture, err := decode(content)
	if err != nil {
		return nil, image.Point{}, bad("a whole picture; this one is damaged")
	}
	picture = upright(opaque(picture), turnOf(content))
	var out bytes.Buffer
	if err := jpeg.Encode(&out, picture, &jpeg.Options{Quality: 85}); err != nil {
		return nil, image.Point{}, err
	}
	return out.Bytes(), picture.Bounds().Size(), nil
}

// opaque lays a picture with holes on white: JPEG knows none.
func opaque(in image.Image) image.Image {
	if o, ok := in.(interface{ Opaque() bool }); ok && o.Opaque() {
		return in
	}
	out := image.NewRGBA(in.Bounds())
	draw.Draw(out, out.Bounds(), image.White, image.Point{}, draw.Src)
	draw.Draw(out, out.Bounds(), in, in.Bounds().Min, draw.Over)
	return out
}

// Photo reads what is known of a picture and, when asked, the picture. A tech
// sees those of the own crew's jobs. CodeNotFound.
func (d *Desk) Photo(ctx context.Context, who jobs.Actor, id string, whole bool) (p jobs.Photo, content []byte, err error) {
	_, err = read(ctx, d, func(tx *store.Tx) (bool, error) {
		if p, err = tx.Photo(id); err != nil {
			return false, err
		}
		j, err := tx.Job(p.JobID)
		if err != nil {
			return false, err
		}
		if err := mayWorkOn(tx, who, j); err != nil {
			return false, jobs.Errorf(jobs.CodeNotFound, "There is no such photo")
		}
		if whole {
			content, err = tx.PhotoBytes(id)
		}
		return true, err
	})
	return p, content, err
}

// Photos lists a job's pictures. A tech sees those of the own crew's jobs.
// CodeNotFound.
func (d *Desk) Photos(ctx context.Context, who jobs.Actor, jobID string) ([]jobs.Photo, error) {
	return read(ctx, d, func(tx *store.Tx) ([]jobs.Photo, error) {
		j, err := tx.Job(jobID)
		if err != nil {
			return nil, err
		}
		if err := mayWorkOn(tx, who, j); err != nil {
			return nil, err
		}
		return tx.Photos(jobID)
	})
}
