"use strict";
(() => {
  const press = (buttons, chosen) =>
    buttons.forEach((button) => button.setAttribute("aria-pressed", String(button === chosen)));
  const body = document.body;
  const shows = [...document.querySelectorAll("[data-show]")];
  shows.forEach((button) =>
    button.addEventListener("click", () => {
      press(shows, button);
      body.classList.toggle("only-before", button.dataset.show === "before");
      body.classList.toggle("only-after", button.dataset.show === "after");
    }),
  );
  const nest = document.querySelector("[data-nest]");
  nest.addEventListener("click", () =>
    nest.setAttribute("aria-pressed", String(body.classList.toggle("nest"))),
  );
  document.querySelectorAll("figure").forEach((figure) => {
    const svg = figure.querySelector("svg.piece");
    const sizes = [...figure.querySelectorAll("button[data-size]")];
    sizes.forEach((button) =>
      button.addEventListener("click", () => {
        press(sizes, button);
        svg.querySelectorAll("g.size").forEach((group) =>
          group.toggleAttribute("hidden", group.dataset.size !== button.dataset.size),
        );
      }),
    );
    const box = () => svg.getAttribute("viewBox").split(" ").map(Number);
    const look = (x, y, w, h) => svg.setAttribute("viewBox", [x, y, w, h].join(" "));
    const zoom = (by) => {
      const [x, y, w, h] = box();
      look(x + (w - w / by) / 2, y + (h - h / by) / 2, w / by, h / by);
    };
    figure.querySelectorAll("[data-zoom]").forEach((button) =>
      button.addEventListener("click", () => {
        const by = Number(button.dataset.zoom);
        if (by) zoom(by);
        else svg.setAttribute("viewBox", svg.dataset.whole);
      }),
    );
    const shift = (dx, dy) => {
      const [x, y, w, h] = box();
      look(x + dx * w, y + dy * h, w, h);
    };
    svg.addEventListener("keydown", (event) => {
      const step = { ArrowLeft: [-0.1, 0], ArrowRight: [0.1, 0], ArrowUp: [0, -0.1], ArrowDown: [0, 0.1] }[event.key];
      if (step) shift(...step);
      else if (event.key === "+") zoom(1.4);
      else if (event.key === "-") zoom(1 / 1.4);
      else return;
      event.preventDefault();
    });
    let from = null;
    svg.addEventListener("pointerdown", (event) => {
      from = [event.clientX, event.clientY];
      svg.setPointerCapture(event.pointerId);
    });
    svg.addEventListener("pointermove", (event) => {
      if (!from) return;
      const size = svg.getBoundingClientRect();
      shift((from[0] - event.clientX) / size.width, (from[1] - event.clientY) / size.height);
      from = [event.clientX, event.clientY];
    });
    svg.addEventListener("pointerup", () => (from = null));
    svg.addEventListener("wheel", (event) => {
      if (!event.ctrlKey) return;
      event.preventDefault();
      zoom(event.deltaY < 0 ? 1.2 : 1 / 1.2);
    }, { passive: false });
  });
})();
