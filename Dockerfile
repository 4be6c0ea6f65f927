# The pages first, then the program with the pages in it, then nothing else.
FROM node:20-bookworm-slim AS pages
WORKDIR /src/web
COPY web/package.json web/package-lock.json web/.npmrc ./
RUN npm ci --no-progress
COPY web ./
RUN npm run build

FROM golang:1.26-bookworm AS program
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY . .
COPY --from=pages /src/web/dist web/dist
RUN CGO_ENABLED=0 go build -trimpath -ldflags=-s -o /ebbline ./cmd/ebbline \
 && mkdir /data

FROM scratch
COPY --from=program /etc/ssl/certs/ca-certificates.crt /etc/ssl/certs/
COPY --from=program /ebbline /ebbline
COPY --from=program --chown=65532:65532 /data /data
COPY --from=program --chown=65532:65532 --chmod=1777 /tmp /tmp
USER 65532:65532
ENV EBBLINE_DATA=/data EBBLINE_LISTEN=0.0.0.0:8080
VOLUME /data
EXPOSE 8080
ENTRYPOINT ["/ebbline"]
CMD ["serve"]
