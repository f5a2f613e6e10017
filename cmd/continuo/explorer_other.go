//go:build !windows

package main

func stayOpen() {}
