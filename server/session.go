package server

import (
	"context"
	"math"
	"net/http"
	"strconv"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
	"ebbline/server/auth"
)

// POST /session. Public, limited per account, per address and in all.
func (h *handlers) SignIn(ctx context.Context, r api.SignInRequestObject) (api.SignInResponseObject, error) {
	c, now := ginOf(ctx), h.s.Clock.Now()
	account := jobs.FoldEmail(r.Body.Email)
	if wait := h.s.limits.Try(account, c.ClientIP(), now); wait > 0 {
		c.Header("Retry-After", strconv.Itoa(int(math.Ceil(wait.Seconds()))))
		return nil, jobs.Errorf(jobs.CodeTooMany, "Too many tries; wait a little")
	}
	device := h.device(ctx, val(r.Body.Device), true)
	in, err := h.s.Desk.SignIn(ctx, now, r.Body.Email, r.Body.Password, device, val(r.Body.Device))
	if err != nil {
		return nil, err
	}
	h.s.limits.Forgive(account, c.ClientIP())
	session, err := h.begin(ctx, in, val(r.Params.Tokens))
	return api.SignIn200JSONResponse(session), err
}

// POST /session/refresh. Public: the refresh token is what is shown.
func (h *handlers) RefreshSession(ctx context.Context, r api.RefreshSessionRequestObject) (api.RefreshSessionResponseObject, error) {
	c := ginOf(ctx)
	token, program := val(r.Body.RefreshToken), r.Body.RefreshToken != nil
	if !program {
		if cookie, err := c.Request.Cookie(refreshCookie); err == nil {
			token = cookie.Value
		}
	}
	in, err := h.s.Desk.Refresh(ctx, h.s.Clock.Now(), token, h.device(ctx, val(r.Body.Device), false))
	if err != nil {
		if jobs.CodeOf(err) == jobs.CodeUnauthenticated && !program {
			h.dropCookies(ctx)
		}
		return nil, err
	}
	session, err := h.begin(ctx, in, program || val(r.Params.Tokens))
	return api.RefreshSession200JSONResponse(session), err
}

// GET /session. Anyone signed in.
func (h *handlers) ShowSession(ctx context.Context, _ api.ShowSessionRequestObject) (api.ShowSessionResponseObject, error) {
	who, _ := ginOf(ctx).Value(seenKey).(seen)
	session, err := h.session(ctx, who.user, who.claims)
	return api.ShowSession200JSONResponse(session), err
}

// DELETE /session. Anyone signed in.
func (h *handlers) SignOut(ctx context.Context, _ api.SignOutRequestObject) (api.SignOutResponseObject, error) {
	who, _ := ginOf(ctx).Value(seenKey).(seen)
	if err := h.s.Desk.SignOut(ctx, h.s.call(ctx, ""), who.claims.SessionID); err != nil {
		return nil, err
	}
	h.s.present.forget()
	h.dropCookies(ctx)
	return api.SignOut204Response{}, nil
}

// begin gives a session's tokens to a program in the answer, to a browser as
// cookies.
func (h *handlers) begin(ctx context.Context, in desk.SignedIn, program bool) (api.Session, error) {
	token, claims, err := h.s.Keys.Sign(in.User.ID, in.Session.ID, in.User.Epoch, h.s.Clock.Now())
	if err != nil {
		return api.Session{}, err
	}
	session, err := h.session(ctx, in.User, claims)
	if err != nil {
		return api.Session{}, err
	}
	if program {
		session.AccessToken, session.RefreshToken = &token, &in.Refresh
		return session, nil
	}
	w := ginOf(ctx).Writer
	h.s.setCookie(w, accessCookie, token, accessPath, jobs.AccessLife)
	h.s.setCookie(w, refreshCookie, in.Refresh, refreshPath, in.Session.ExpiresAt.Sub(h.s.Clock.Now()))
	return session, nil
}

func (h *handlers) session(ctx context.Context, u jobs.User, claims auth.Claims) (api.Session, error) {
	branches, err := h.s.Desk.Branches(ctx)
	return api.Session{User: toUser(u), Branches: mapped(branches, toBranch), ExpiresAt: claims.ExpiresAt}, err
}

// device is what tells a device apart: the name that it gives itself, and a
// browser's own cookie, which is made at sign-in.
func (h *handlers) device(ctx context.Context, name string, make bool) string {
	c := ginOf(ctx)
	secret := ""
	if cookie, err := c.Request.Cookie(deviceCookie); err == nil {
		secret = cookie.Value
	} else if make {
		secret = h.s.IDs.New() + h.s.IDs.New()
		h.s.setCookie(c.Writer, deviceCookie, secret, refreshPath, jobs.SessionLife)
	}
	return name + "\n" + secret
}

func (h *handlers) dropCookies(ctx context.Context) {
	var w http.ResponseWriter = ginOf(ctx).Writer
	h.s.setCookie(w, accessCookie, "", accessPath, 0)
	h.s.setCookie(w, refreshCookie, "", refreshPath, 0)
}
