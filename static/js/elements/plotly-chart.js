/* <plotly-chart>: draws the figure that a JSON script of the page holds, in the theme's own
   colours and letters, and again when the theme changes. Plotly is fetched when the first is seen. */
const CONFIG = { displayModeBar: false, responsive: true, doubleClick: "reset", scrollZoom: false };
const dark = matchMedia("(prefers-color-scheme: dark)");

let plotly;

function loadPlotly(url) {
  plotly ??= new Promise((resolve, reject) => {
    const script = document.createElement("script");
    script.src = url;
    script.onload = () => resolve(window.Plotly);
    script.onerror = () => {
      plotly = undefined;
      reject(new Error("The charts could not be loaded."));
    };
    document.head.append(script);
  });
  return plotly;
}

class PlotlyChart extends HTMLElement {
  connectedCallback() {
    this.plot = document.createElement("div");
    this.plot.className = "chart-plot";
    this.plot.setAttribute("aria-hidden", "true");
    this.watcher = new IntersectionObserver(([entry]) => entry.isIntersecting && this.#start(), { rootMargin: "300px" });
    this.watcher.observe(this);
  }

  disconnectedCallback() {
    this.watcher.disconnect();
    document.removeEventListener("theme-change", this.#draw);
    dark.removeEventListener("change", this.#draw);
    if (this.drawn) window.Plotly.purge(this.plot);
  }

  async #start() {
    this.watcher.disconnect();
    try {
      await loadPlotly(this.dataset.plotly);
    } catch (error) {
      this.querySelector(".chart-wait").textContent = `${error.message} The table holds the same numbers.`;
      return;
    }
    if (!this.isConnected) return;
    this.replaceChildren(this.plot);
    this.#draw();
    document.addEventListener("theme-change", this.#draw);
    dark.addEventListener("change", this.#draw);
  }

  /* A token's colour as Plotly can read it: painted on one pixel and read back. */
  #colour(token) {
    const [name, strength] = token.split("/");
    const probe = document.createElement("span");
    probe.style.color = `var(--${name})`;
    this.append(probe);
    const brush = document.createElement("canvas").getContext("2d", { willReadFrequently: true });
    brush.fillStyle = getComputedStyle(probe).color;
    brush.fillRect(0, 0, 1, 1);
    probe.remove();
    const [red, green, blue, alpha] = brush.getImageData(0, 0, 1, 1).data;
    return `rgba(${red}, ${green}, ${blue}, ${((alpha / 255) * (strength ?? 1)).toFixed(3)})`;
  }

  #inColours(value) {
    if (typeof value === "string" && value.startsWith("token:")) return this.#colour(value.slice(6));
    if (Array.isArray(value)) return value.map((item) => this.#inColours(item));
    if (value && typeof value === "object") {
      return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, this.#inColours(item)]));
    }
    return value;
  }

  #house(layout) {
    const axis = {
      gridcolor: "token:line", linecolor: "token:line-strong", zerolinecolor: "token:line-strong",
      tickcolor: "token:line-strong", automargin: true, fixedrange: true,
    };
    const axes = Object.keys(layout).filter((key) => /^[xy]axis\d*$/.test(key));
    const house = {
      margin: { l: 48, r: 16, t: 16, b: 40 }, autosize: true, showlegend: false, separators: ". ", dragmode: false,
      ...layout,
      paper_bgcolor: "rgba(0,0,0,0)", plot_bgcolor: "rgba(0,0,0,0)",
      font: { family: getComputedStyle(this).fontFamily, size: 14, color: "token:ink", ...layout.font },
      hoverlabel: {
        bgcolor: "token:surface", bordercolor: "token:ink",
        font: { family: getComputedStyle(this).fontFamily, color: "token:ink", size: 14 },
      },
    };
    for (const key of new Set(["xaxis", "yaxis", ...axes])) house[key] = { ...axis, ...layout[key] };
    return house;
  }

  #draw = () => {
    const figure = JSON.parse(document.getElementById(this.dataset.source).textContent);
    const layout = this.#inColours(this.#house(figure.layout ?? {}));
    this.drawn = true;
    return window.Plotly.react(this.plot, this.#inColours(figure.data), layout, CONFIG);
  };
}

customElements.define("plotly-chart", PlotlyChart);
