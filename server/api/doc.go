// Package api is made from server/openapi.yaml: the types of requests and
// answers, the routes and the interface of the handlers. Change the contract,
// then run
//
//	go generate ./server/api
//
// and commit what it writes.
package api

//go:generate go tool oapi-codegen -config oapi.yaml ../openapi.yaml
